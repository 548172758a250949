#pragma once
// From a coarse placement to one good to a fraction of a scan pixel, by least squares on patch edges.

#include <array>
#include <optional>
#include <vector>

#include "page/edge_spread.h"
#include "page/placement.h"

namespace scrapetrace::page {

struct RefinedMap {
  SheetFromRaster sheet_from_raster;
  double residual_mm = 0;     // robust standard deviation of the x edge points about the fit
  double x_sigma_mm = 0;      // of a sheet x in the middle of the sheet
  bool side_touched = false;  // a streak runs off a side of the print, or the image ends before it: not used
  std::vector<std::array<bool, 2>> touched_sides;  // per patch of the chart; empty where too few edges show
  bool narrow = false;  // the print is narrower than paper shrinks, and nothing shows why: one of
                        // its sides may be the end of a streak that took all ink
  int marks = 0;        // edge points used, x and y
  double blur_px = 0;   // 0: not measured
  std::vector<double> patch_blur_px;  // per patch of the chart; 0: not measured
};

struct RefineOptions {
  std::optional<std::size_t> left_out;  // 0 or 1: the lower or the higher side of the print in x is not
                                        // believed from the start
  int threads = 1;                      // the map does not depend on it
};

// Three rounds of measuring and fitting (Huber weights), each looking closer. Sides of patches that a streak
// touches are left out from the second round on. The printed edge is known to a column only where the press
// rounds it, so the sigma keeps a floor of a quarter of a column. When edges on one side only are seen, or
// the image shows one side of the print only, the scale stays near the nominal one (0.3 %) and the angle near
// that of the y edges.
RefinedMap refine_placement(const PageRaster& raster, const Layout& layout, const Chart& chart,
                            const RasterFromSheet& coarse, const RefineOptions& options = {});

}  // namespace scrapetrace::page
