#pragma once
// A small raster of square cells, for finding where the sheet lies.

#include <array>
#include <cstddef>
#include <memory>

#include "scrapetrace/page.h"

namespace scrapetrace::page {

struct CoarseMap {
  int width = 0;
  int height = 0;
  double px_per_cell_u = 1;  // raster pixels (scan rows for v) per cell
  double px_per_cell_v = 1;
  // Linear light, 1 = full scale. Not a vector, which would zero it first.
  std::unique_ptr<std::array<float, 3>[]> cells;

  [[nodiscard]] const std::array<float, 3>& at(int i, int j) const {
    return cells[static_cast<std::size_t>(j) * static_cast<std::size_t>(width) + static_cast<std::size_t>(i)];
  }
};

// Cells of about `cell_px` pixels: whole blocks and whole pixels; the remainder at the far ends is dropped.
// The result does not depend on `threads`.
CoarseMap make_coarse_map(const PageRaster& raster, double cell_px, int threads = 1);

}  // namespace scrapetrace::page
