#include "page/coarse_map.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numeric>

#include "base/wide.h"

namespace scrapetrace::page {

namespace {

SCRAPETRACE_WIDE void add_row(const std::uint16_t* row, std::size_t width, std::uint32_t* sums) {
  for (std::size_t u = 0; u < width; ++u) sums[u] += row[u];
}

}  // namespace

CoarseMap make_coarse_map(const PageRaster& raster, double cell_px) {
  const int nu = std::max(1, static_cast<int>(std::lround(cell_px)));
  const int blocks = std::max(1, static_cast<int>(std::lround(cell_px / raster.rows_per_block)));
  CoarseMap map;
  map.px_per_cell_u = nu;
  map.px_per_cell_v = static_cast<double>(blocks) * raster.rows_per_block;
  map.width = raster.width_px / nu;
  map.height = raster.height_px / (blocks * raster.rows_per_block);
  map.linear.assign(static_cast<std::size_t>(map.width) * static_cast<std::size_t>(map.height), {});
  const float scale = 1.0F / (65535.0F * static_cast<float>(nu * blocks));
  const auto width = static_cast<std::size_t>(map.width) * static_cast<std::size_t>(nu);
  std::vector<std::uint32_t> columns(width);
  for (int j = 0; j < map.height; ++j) {
    auto* cells = map.linear.data() + static_cast<std::ptrdiff_t>(j) * map.width;
    for (std::size_t c = 0; c < 3; ++c) {
      std::fill(columns.begin(), columns.end(), 0U);
      for (int b = j * blocks; b < (j + 1) * blocks; ++b)
        add_row(raster.row(b, static_cast<int>(c)), width, columns.data());
      const std::uint32_t* from = columns.data();
      for (int i = 0; i < map.width; ++i, from += nu)
        cells[i][c] = static_cast<float>(std::accumulate(from, from + nu, std::uint64_t{0})) * scale;
    }
  }
  return map;
}

}  // namespace scrapetrace::page
