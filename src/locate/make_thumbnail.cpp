#include "locate/make_thumbnail.h"

#include <algorithm>
#include <cmath>

#include "base/srgb.h"

namespace scrapetrace::locate_detail {

namespace {

constexpr double kLeastHalf_mm = 7.0;  // of the sheet to each side of a streak's middle
constexpr double kAround = 1.5;        // streak widths to each side, for wide ones
constexpr int kWidest_px = 480;
constexpr int kLength_px = 360;

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
  const auto& sheet = placement.chart.sheet_mm;
  const int height_px = std::max(1, static_cast<int>(std::lround(sheet[1] * width_px / sheet[0])));
  return make_crop(raster, placement, {0, sheet[0]}, {0, sheet[1]}, width_px, height_px);
}

Thumbnail make_crop(const PageRaster& raster, const page::Placement& placement, Interval x_mm, Interval y_mm,
                    int width_px, int height_px) {
  Thumbnail out;
  out.width_px = width_px;
  out.height_px = height_px;
  out.left_mm = x_mm.from_mm;
  out.top_mm = y_mm.from_mm;
  out.width_mm = x_mm.to_mm - x_mm.from_mm;
  out.height_mm = y_mm.to_mm - y_mm.from_mm;
  out.rgb.assign(static_cast<std::size_t>(width_px) * static_cast<std::size_t>(height_px) * 3, 255);
  const double step_x = out.width_mm / width_px;
  const double step_y = out.height_mm / height_px;
  const double half_u = 0.5 * step_x * std::abs(placement.map.ux);
  const double half_v = 0.5 * step_y * std::abs(placement.map.vy);
  std::uint8_t* pixel = out.rgb.data();
  for (int j = 0; j < height_px; ++j) {
    for (int i = 0; i < width_px; ++i, pixel += 3) {
      const double x = out.left_mm + (i + 0.5) * step_x;
      const double y = out.top_mm + (j + 0.5) * step_y;
      const double u = placement.map.u(x, y);
      const double v = placement.map.v(x, y);
      if (u < 0 || v < 0 || u >= raster.width_px || v >= raster.height_px) continue;
      for (int c = 0; c < 3; ++c) {
        pixel[c] = srgb8_from_linear(
            area_mean(raster, c, u - half_u, u + half_u, std::max(0.0, v - half_v), v + half_v));
      }
    }
  }
  return out;
}

Thumbnail crop_around(const PageRaster& raster, const page::Placement& placement, double x_sheet_mm,
                      double width_mm) {
  const double half = std::max(kLeastHalf_mm, kAround * width_mm);
  const double resolved = 2 * half * std::abs(placement.map.ux);
  const int width = std::clamp(static_cast<int>(std::lround(resolved)), 1, kWidest_px);
  return make_crop(raster, placement, {x_sheet_mm - half, x_sheet_mm + half},
                   {0, placement.chart.sheet_mm[1]}, width, kLength_px);
}

}  // namespace scrapetrace::locate_detail
