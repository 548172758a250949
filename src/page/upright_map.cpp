#include "page/upright_map.h"

#include <algorithm>
#include <cmath>

namespace scrapetrace::page {

namespace {

std::array<float, 3> interpolate(const CoarseMap& coarse, double i, double j) {
  if (i < -0.5 || j < -0.5 || i > coarse.width - 0.5 || j > coarse.height - 0.5) return {-1, -1, -1};
  const double ci = std::clamp(i, 0.0, coarse.width - 1.0);
  const double cj = std::clamp(j, 0.0, coarse.height - 1.0);
  const int i0 = std::clamp(static_cast<int>(ci), 0, std::max(0, coarse.width - 2));
  const int j0 = std::clamp(static_cast<int>(cj), 0, std::max(0, coarse.height - 2));
  const int i1 = std::min(i0 + 1, coarse.width - 1);
  const int j1 = std::min(j0 + 1, coarse.height - 1);
  const auto s = static_cast<float>(ci - i0);
  const auto t = static_cast<float>(cj - j0);
  std::array<float, 3> out{};
  for (std::size_t c = 0; c < 3; ++c) {
    out[c] = (coarse.at(i0, j0)[c] * (1 - s) + coarse.at(i1, j0)[c] * s) * (1 - t) +
             (coarse.at(i0, j1)[c] * (1 - s) + coarse.at(i1, j1)[c] * s) * t;
  }
  return out;
}

}  // namespace

UprightMap make_upright_map(const CoarseMap& coarse, const RasterFromSheet& raster_from_upright) {
  UprightMap map;
  map.raster_from_upright = raster_from_upright;
  map.cell_mm = coarse.px_per_cell_u / std::hypot(raster_from_upright.ux, raster_from_upright.vx);
  double right_mm = -1e300;
  double bottom_mm = -1e300;
  map.left_mm = map.top_mm = 1e300;
  for (double u : {0.0, coarse.width * coarse.px_per_cell_u}) {
    for (double v : {0.0, coarse.height * coarse.px_per_cell_v}) {
      const auto [x, y] = raster_from_upright.sheet(u, v);
      map.left_mm = std::min(map.left_mm, x);
      map.top_mm = std::min(map.top_mm, y);
      right_mm = std::max(right_mm, x);
      bottom_mm = std::max(bottom_mm, y);
    }
  }
  map.width = static_cast<int>(std::ceil((right_mm - map.left_mm) / map.cell_mm));
  map.height = static_cast<int>(std::ceil((bottom_mm - map.top_mm) / map.cell_mm));
  map.linear.reserve(static_cast<std::size_t>(map.width) * static_cast<std::size_t>(map.height));
  for (int j = 0; j < map.height; ++j) {
    for (int i = 0; i < map.width; ++i) {
      const double x = map.x_mm(i + 0.5);
      const double y = map.y_mm(j + 0.5);
      map.linear.push_back(interpolate(coarse, raster_from_upright.u(x, y) / coarse.px_per_cell_u - 0.5,
                                       raster_from_upright.v(x, y) / coarse.px_per_cell_v - 0.5));
    }
  }
  return map;
}

}  // namespace scrapetrace::page
