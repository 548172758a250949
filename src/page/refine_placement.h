#pragma once
// Refines a coarse placement to a fraction of a pixel by least squares on patch edges.

#include <array>
#include <optional>
#include <vector>

#include "page/edge_spread.h"
#include "page/placement.h"

namespace scrapetrace::page {

struct RefinedMap {
  SheetFromRaster sheet_from_raster;
  double residual_mm = 0;  // robust standard deviation of the x edge points
  double x_sigma_mm = 0;   // of a sheet x in the middle of the sheet
  bool side_touched =
      false;  // a side of the print was not used: a streak runs off it, or the image ends before it
  std::vector<std::array<bool, 2>> touched_sides;  // per patch; empty where too few edges show
  bool narrow = false;  // the print is narrower than paper shrinks, and nothing shows why: one of
                        // its sides may be the end of a streak that took all ink
  int marks = 0;        // edge points used, x and y
  double blur_px = 0;   // 0: not measured
  std::vector<double> patch_blur_px;  // per patch; 0: not measured
};

struct RefineOptions {
  std::optional<std::size_t> left_out;  // 0 or 1: the lower or the higher side of the print in x is not
                                        // believed from the start
  int threads = 1;                      // does not change the map
};

// Three rounds of measuring and fitting (Huber weights) with shrinking search range. From the second round
// on, sides touched by a streak are left out. Print edges are known to a column only, so the sigma is at
// least a quarter of a column. When only one side shows, the scale has a prior at the nominal one (0.3 %) and
// the angle one at that of the y edges.
RefinedMap refine_placement(const PageRaster& raster, const Layout& layout, const Chart& chart,
                            const RasterFromSheet& coarse, const RefineOptions& options = {});

}  // namespace scrapetrace::page
