#include "page/coarse_map.h"

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "base/parallel.h"
#include "base/wide.h"

namespace scrapetrace::page {

namespace {

constexpr int kRowsInPart = 32;  // of cells

SCRAPETRACE_WIDE void add_row(const std::uint16_t* row, std::size_t width, std::uint32_t* sums) {
  for (std::size_t u = 0; u < width; ++u) sums[u] += row[u];
}

// Means of `nu` sums each.
SCRAPETRACE_WIDE void fill_channel(const std::uint32_t* sums, std::size_t nu, float scale, std::size_t width,
                                   std::size_t channel, std::array<float, 3>* cells) {
  for (std::size_t i = 0; i < width; ++i, sums += nu) {
    std::uint64_t sum = 0;
    for (std::size_t k = 0; k < nu; ++k) sum += sums[k];
    cells[i][channel] = static_cast<float>(sum) * scale;
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
  map.linear.assign(cells_across * static_cast<std::size_t>(map.height), {});
  const float scale = 1.0F / (65535.0F * static_cast<float>(nu * blocks));
  const std::size_t width = cells_across * static_cast<std::size_t>(nu);
  for_each_part(
      static_cast<std::size_t>((map.height + kRowsInPart - 1) / kRowsInPart), threads, [&](std::size_t part) {
        std::vector<std::uint32_t> columns(width);
        const int first = static_cast<int>(part) * kRowsInPart;
        for (int j = first; j < std::min(map.height, first + kRowsInPart); ++j) {
          auto* cells = map.linear.data() + static_cast<std::ptrdiff_t>(j) * map.width;
          for (std::size_t c = 0; c < 3; ++c) {
            std::fill(columns.begin(), columns.end(), 0U);
            for (int b = j * blocks; b < (j + 1) * blocks; ++b)
              add_row(raster.row(b, static_cast<int>(c)), width, columns.data());
            fill_channel(columns.data(), static_cast<std::size_t>(nu), scale, cells_across, c, cells);
          }
        }
      });
  return map;
}

}  // namespace scrapetrace::page
