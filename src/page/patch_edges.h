#pragma once
// Measures edges of printed patches to a fraction of a pixel.

#include <vector>

#include "page/printed_chart.h"
#include "page/raster_from_sheet.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/page.h"

namespace scrapetrace::page {

// An edge point: the raster point lies on the sheet's line x = at_mm (or y = at_mm).
struct EdgePoint {
  double at_mm = 0;
  double u = 0;
  double v = 0;
  int patch = -1;   // index into the chart's patches
  int side = 0;     // 0: the patch's lower x or y, 1: the higher
  int channel = 0;  // of the measurement: the patch's darkest
};

struct PatchEdges {
  std::vector<EdgePoint> x;  // edges along the process direction
  std::vector<EdgePoint> y;  // edges across it
};

struct EdgeSearch {
  double reach_mm = 1.5;  // largest distance from the prediction
  bool across = true;     // measure y edges too
  int threads = 1;        // does not change the points
};

// Measures all edges near their prediction by `map`. Skips points with contrast below 0.06 of full scale or
// with a neighbouring patch too close. `printed` is the chart's.
PatchEdges measure_patch_edges(const PageRaster& raster, const Chart& chart, const PrintedChart& printed,
                               const RasterFromSheet& map, const EdgeSearch& search);
PatchEdges measure_patch_edges(const PageRaster& raster, const Layout& layout, const Chart& chart,
                               const RasterFromSheet& map, const EdgeSearch& search);

}  // namespace scrapetrace::page
