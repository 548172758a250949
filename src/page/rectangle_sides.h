#pragma once
// The four sides of found rectangles, measured in the raster, and their common rotation.

#include <vector>

#include "page/find_rectangles.h"
#include "page/upright_map.h"
#include "scrapetrace/page.h"

namespace scrapetrace::page {

// A point of a side: upright mm, and the raster position of the measurement.
struct SidePoint {
  double x = 0;
  double y = 0;
  double u = 0;
  double v = 0;
};

struct Side {
  std::size_t rectangle = 0;
  std::size_t axis = 0;  // 0: x is constant along it, 1: y is
  std::size_t end = 0;   // 0: the lower x or y
  double at_mm = 0;      // upright frame; coarse until fitted
  double lines = 0;      // number of lines searched
  std::vector<SidePoint> points;
};

// Looks for each side near its coarse position, where the signal steps in the expected direction.
std::vector<Side> measure_sides(const PageRaster& raster, const UprightMap& map,
                                const std::vector<FoundRectangle>& rectangles);

struct SideFit {
  double turn_rad = 0;    // of the sides against the upright frame, clockwise
  double turn_sigma = 0;  // rad
  double residual_mm =
      0;           // robust standard deviation of the points of x sides (all sides when there are none)
  int points = 0;  // with weight above zero
};

// Fits one rotation to all sides by least squares with Tukey's biweight, so that streaks do not bend a side.
// Sets Side::at_mm in the rotated frame. `px_mm` is the size of a scan pixel.
SideFit fit_sides(std::vector<Side>& sides, double px_mm);

}  // namespace scrapetrace::page
