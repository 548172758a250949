#pragma once
// The four straight sides of a found rectangle, measured in the raster, and the turn they share.

#include <vector>

#include "page/find_rectangles.h"
#include "page/upright_map.h"
#include "scrapetrace/page.h"

namespace scrapetrace::page {

// A point of a side: upright mm, and the raster place it was measured at.
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
  double at_mm = 0;      // upright frame; as found, until fitted
  double lines = 0;      // across which it was looked for
  std::vector<SidePoint> points;
};

// Looks for each side near where the rectangle has it, where the signal steps the way it should.
std::vector<Side> measure_sides(const PageRaster& raster, const UprightMap& map,
                                const std::vector<FoundRectangle>& rectangles);

struct SideFit {
  double turn_rad = 0;    // of the sides against the upright frame, clockwise
  double turn_sigma = 0;  // rad
  double residual_mm =
      0;           // robust standard deviation of the points of x sides (all sides when there are none)
  int points = 0;  // that count fully or in part
};

// One turn for all sides, by least squares with Tukey's biweight: a streak bends no side. Sets Side::at_mm of
// every side with points, in the frame turned by the result about the same origin. `px_mm` is a scan pixel.
SideFit fit_sides(std::vector<Side>& sides, double px_mm);

}  // namespace scrapetrace::page
