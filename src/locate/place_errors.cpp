#include "locate/place_errors.h"

#include <algorithm>
#include <cmath>

namespace scrapetrace::locate_detail {

namespace {

constexpr int kPlaces = 17;
constexpr double kRounding = 0.25;  // of a column: what is left of its rounding over many edges

// Between the raster's values at equal steps; the ends go on.
double bend_sigma_mm(const PageRaster& raster, double u_px) {
  const auto& sigma = raster.bend_sigma_mm;
  if (sigma.empty()) return 0;
  const double last = static_cast<double>(sigma.size()) - 1;
  const double at = std::clamp(u_px / raster.width_px * last, 0.0, last);
  const auto k = std::min(static_cast<std::size_t>(at), sigma.size() - 2);
  const double t = at - static_cast<double>(k);
  return sigma[k] * (1 - t) + sigma[k + 1] * t;
}

}  // namespace

std::vector<PlaceError> place_errors(const PageRaster& raster, const Layout& layout, const Chart& chart,
                                     const page::SheetFromRaster& map) {
  const auto raster_from_sheet = page::raster_from_sheet(map);
  const double rounding = kRounding * layout.px_mm() * layout.transfer.scale_cross;
  std::vector<PlaceError> out;
  for (int k = 0; k < kPlaces; ++k) {
    const double x = chart.sheet_mm[0] * k / (kPlaces - 1);
    const double y = chart.sheet_mm[1] / 2;
    const double u = raster_from_sheet.u(x, y);
    const double fit = map.x_sigma(u, raster_from_sheet.v(x, y));
    out.push_back(
        {x, std::hypot(std::hypot(rounding, fit, raster.flattening_sigma_mm), bend_sigma_mm(raster, u))});
  }
  return out;
}

double worst_error_mm(const std::vector<PlaceError>& errors, const Chart& chart) {
  std::array<double, 2> print = {1e300, -1e300};
  for (const Patch& patch : chart.patches)
    print = {std::min(print[0], patch.x_mm[0]), std::max(print[1], patch.x_mm[1])};
  double worst = 0;
  for (const PlaceError& error : errors) {
    if (error.x_sheet_mm >= print[0] && error.x_sheet_mm <= print[1]) worst = std::max(worst, error.sigma_mm);
  }
  return worst;
}

}  // namespace scrapetrace::locate_detail
