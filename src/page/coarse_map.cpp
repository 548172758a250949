#include "page/coarse_map.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

#include "base/parallel.h"
#include "base/wide.h"

namespace scrapetrace::page {

namespace {

constexpr std::size_t kRowsInPart = 32;  // of cells

// Adds `nu` pixels to each sum of a row of cells.
SCRAPETRACE_WIDE void add_row(const std::uint16_t* row, std::size_t nu, std::size_t cells,
                              std::uint64_t* sums) {
  for (std::size_t i = 0; i < cells; ++i, row += nu) {
    std::uint32_t sum = 0;
    for (std::size_t k = 0; k < nu; ++k) sum += row[k];
    sums[i] += sum;
  }
}

}  // namespace

CoarseMap make_coarse_map(const PageRaster& raster, double cell_px, int threads) {
  const int nu = std::max(1, static_cast<int>(std::lround(cell_px)));
  const int blocks = std::max(1, static_cast<int>(std::lround(cell_px / raster.rows_per_block)));
  CoarseMap map;
  map.px_per_cell_u = nu;
  map.px_per_cell_v = static_cast<double>(blocks) * raster.rows_per_block;
  map.width = raster.width_px / nu;
  map.height = raster.height_px / (blocks * raster.rows_per_block);
  const auto cells_across = static_cast<std::size_t>(map.width);
  map.cells = std::make_unique_for_overwrite<std::array<float, 3>[]>(cells_across *
                                                                     static_cast<std::size_t>(map.height));
  const float scale = 1.0F / (65535.0F * static_cast<float>(nu * blocks));
  for_each_stretch(static_cast<std::size_t>(map.height), kRowsInPart, threads,
                   [&](std::size_t first, std::size_t end) {
                     std::vector<std::uint64_t> sums(cells_across);
                     for (std::size_t j = first; j < end; ++j) {
                       auto* cells = map.cells.get() + j * cells_across;
                       const int block = static_cast<int>(j) * blocks;
                       for (std::size_t c = 0; c < 3; ++c) {
                         std::fill(sums.begin(), sums.end(), 0U);
                         for (int b = block; b < block + blocks; ++b)
                           add_row(raster.row(b, static_cast<int>(c)), static_cast<std::size_t>(nu),
                                   cells_across, sums.data());
                         for (std::size_t i = 0; i < cells_across; ++i)
                           cells[i][c] = static_cast<float>(sums[i]) * scale;
                       }
                     }
                   });
  return map;
}

}  // namespace scrapetrace::page
