#pragma once
// Edges of printed patches, measured in the raster to a fraction of a pixel.

#include <vector>

#include "page/expected_colour.h"
#include "page/raster_from_sheet.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/page.h"

namespace scrapetrace::page {

// One measured point of an edge: the raster point lies on the line x = at_mm (or y = at_mm) of the sheet.
struct EdgePoint {
  double at_mm = 0;
  double u = 0;
  double v = 0;
  int patch = -1;   // index into the chart's patches
  int side = 0;     // 0: the patch's lower x or y, 1: the higher
  int channel = 0;  // in which it was measured: the patch's darkest
};

struct PatchEdges {
  std::vector<EdgePoint> x;  // edges along the process direction
  std::vector<EdgePoint> y;  // edges across it
};

// Where the press really puts a patch's edges across: columns print when their centre lies in the patch, and
// only where some head owns them. Sheet mm, [low, high]; empty (low > high) when no column prints.
std::array<double, 2> printed_x_range(const Layout& layout, const Patch& patch);

struct EdgeSearch {
  double reach_mm = 1.5;  // largest distance from the predicted place
};

// Measures all edges near where `map` predicts them. Points are left out where the contrast across the edge
// is under 0.06 of full scale or where a neighbouring patch is too close.
PatchEdges measure_patch_edges(const PageRaster& raster, const Layout& layout, const Chart& chart,
                               const RasterFromSheet& map, const EdgeSearch& search);
// The same for several calls: `image` is the chart's, in cells of kImageCell_mm.
constexpr double kImageCell_mm = 0.25;
PatchEdges measure_patch_edges(const PageRaster& raster, const Layout& layout, const Chart& chart,
                               const ChartImage& image, const RasterFromSheet& map, const EdgeSearch& search);

}  // namespace scrapetrace::page
