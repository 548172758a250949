#pragma once
// A sheet printed, scanned and averaged into a raster, in memory.

#include "press/scan_from_sheet.h"
#include "score/case.h"
#include "scrapetrace/page.h"
#include "scrapetrace/result.h"

namespace scrapetrace::score {

struct RenderedSheet {
  PageRaster as_scanned;                // through its file format, if it has one that loses anything
  std::optional<PageRaster> as_sensed;  // before that format; empty: the same
  [[nodiscard]] const PageRaster& sensed() const { return as_sensed ? *as_sensed : as_scanned; }
};

Result<RenderedSheet> render(const Case& drawn, const Causes& causes, const Sheet& sheet);

// Where things lie in that raster, without rendering it.
struct RasterPlace {
  int width_px = 0;
  int height_px = 0;
  int rows_per_block = 1;
  bool transposed = false;
  press::Affine raster_from_sheet;  // (x, y) on the chart's sheet to (u, v) across and along
};

RasterPlace raster_place(const Chart& chart, const Sheet& sheet);

}  // namespace scrapetrace::score
