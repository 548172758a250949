#include "page/shift_rows.h"

#include <algorithm>
#include <cmath>

namespace scrapetrace::page {

namespace {

// Extends rows by their end values.
double sample(const std::uint16_t* row, int width, double u_px) {
  const double at = u_px - 0.5;
  const int i = static_cast<int>(std::floor(at));
  const double t = at - i;
  const double t2 = t * t;
  const double t3 = t2 * t;
  const auto value = [&](int k) { return static_cast<double>(row[std::clamp(i + k, 0, width - 1)]); };
  return (-0.5 * t3 + t2 - 0.5 * t) * value(-1) + (1.5 * t3 - 2.5 * t2 + 1) * value(0) +
         (-1.5 * t3 + 2 * t2 + 0.5 * t) * value(1) + (0.5 * t3 - 0.5 * t2) * value(2);
}

}  // namespace

PageRaster with_rows_shifted(const PageRaster& raster,
                             const std::function<std::vector<double>(double v_px)>& shifts_px) {
  PageRaster out = raster;
  std::uint16_t* const own = out.linear.own().data();
  for (int b = 0; b < raster.blocks(); ++b) {
    const auto shifts = shifts_px(b * raster.rows_per_block + 0.5 * raster.rows_in(b));
    for (int c = 0; c < 3; ++c) {
      const std::uint16_t* from = raster.row(b, c);
      std::uint16_t* to = own + (from - raster.linear.data());
      for (std::size_t u = 0; u < shifts.size(); ++u) {
        const double value = sample(from, raster.width_px, static_cast<double>(u) + 0.5 - shifts[u]);
        to[u] = static_cast<std::uint16_t>(std::lround(std::clamp(value, 0.0, 65535.0)));
      }
    }
  }
  return out;
}

}  // namespace scrapetrace::page
