#include "locate/make_thumbnail.h"

#include <algorithm>
#include <cmath>

#include "base/srgb.h"

namespace scrapetrace::locate_detail {

namespace {

std::uint8_t code_of(double linear) {
  return static_cast<std::uint8_t>(std::lround(255 * srgb_from_linear(linear)));
}

// Mean of one channel over the pixel columns [u0, u1) of the blocks under [v0, v1).
double area_mean(const PageRaster& raster, int channel, double u0, double u1, double v0, double v1) {
  const int ua = std::clamp(static_cast<int>(u0), 0, raster.width_px - 1);
  const int ub = std::clamp(static_cast<int>(std::ceil(u1)), ua + 1, raster.width_px);
  const int ba = std::clamp(static_cast<int>(v0) / raster.rows_per_block, 0, raster.blocks() - 1);
  const int bb = std::clamp(static_cast<int>(v1) / raster.rows_per_block, ba, raster.blocks() - 1);
  double sum = 0;
  for (int b = ba; b <= bb; ++b) {
    const std::uint16_t* row = raster.row(b, channel);
    for (int u = ua; u < ub; ++u) sum += row[u];
  }
  return sum / (65535.0 * (bb - ba + 1) * (ub - ua));
}

}  // namespace

Thumbnail make_thumbnail(const PageRaster& raster, const page::Placement& placement, int width_px) {
  Thumbnail out;
  const auto& sheet = placement.chart.sheet_mm;
  out.mm_per_px = sheet[0] / width_px;
  out.width_px = width_px;
  out.height_px = std::max(1, static_cast<int>(std::lround(sheet[1] / out.mm_per_px)));
  out.rgb.assign(static_cast<std::size_t>(out.width_px) * static_cast<std::size_t>(out.height_px) * 3, 255);
  const double half_u = 0.5 * out.mm_per_px * std::abs(placement.map.ux);
  const double half_v = 0.5 * out.mm_per_px * std::abs(placement.map.vy);
  for (int j = 0; j < out.height_px; ++j) {
    for (int i = 0; i < out.width_px; ++i) {
      const double x = (i + 0.5) * out.mm_per_px;
      const double y = (j + 0.5) * out.mm_per_px;
      const double u = placement.map.u(x, y);
      const double v = placement.map.v(x, y);
      if (u < 0 || v < 0 || u >= raster.width_px || v >= raster.height_px) continue;
      const auto at = (static_cast<std::size_t>(j) * static_cast<std::size_t>(out.width_px) +
                       static_cast<std::size_t>(i)) *
                      3;
      for (int c = 0; c < 3; ++c) {
        const double linear =
            area_mean(raster, c, u - half_u, u + half_u, std::max(0.0, v - half_v), v + half_v);
        out.rgb[at + static_cast<std::size_t>(c)] = code_of(linear);
      }
    }
  }
  return out;
}

}  // namespace scrapetrace::locate_detail
