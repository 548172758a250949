#include "page/coarse_map.h"

#include <algorithm>
#include <cmath>

namespace scrapetrace::page {

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
  for (int j = 0; j < map.height; ++j) {
    for (int b = j * blocks; b < (j + 1) * blocks; ++b) {
      for (std::size_t c = 0; c < 3; ++c) {
        const std::uint16_t* row = raster.row(b, static_cast<int>(c));
        for (int i = 0; i < map.width; ++i) {
          std::uint32_t sum = 0;
          for (int k = 0; k < nu; ++k) sum += row[i * nu + k];
          map.linear[static_cast<std::size_t>(j) * static_cast<std::size_t>(map.width) +
                     static_cast<std::size_t>(i)][c] += static_cast<float>(sum) * scale;
        }
      }
    }
  }
  return map;
}

}  // namespace scrapetrace::page
