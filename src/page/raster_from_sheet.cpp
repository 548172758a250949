#include "page/raster_from_sheet.h"

#include <cmath>
#include <numbers>

namespace scrapetrace::page {

std::array<double, 2> RasterFromSheet::sheet(double u_px, double v_px) const {
  const double det = ux * vy - uy * vx;
  const double du = u_px - u0;
  const double dv = v_px - v0;
  return {(vy * du - uy * dv) / det, (ux * dv - vx * du) / det};
}

Orientation orientation_of(const RasterFromSheet& map, bool transposed) {
  // The sheet's axes in the image as given (columns right, rows down).
  std::array<double, 2> x_axis = {map.ux, map.vx};
  std::array<double, 2> y_axis = {map.uy, map.vy};
  if (transposed) {
    std::swap(x_axis[0], x_axis[1]);
    std::swap(y_axis[0], y_axis[1]);
  }
  Orientation out;
  out.face_mirrored = x_axis[0] * y_axis[1] - x_axis[1] * y_axis[0] < 0;
  // Clockwise angle (rows run down) from the image's "down" to the sheet's.
  const double angle = std::atan2(-y_axis[0], y_axis[1]) * 180 / std::numbers::pi;
  const double quarter = std::round(angle / 90) * 90;
  out.turn_deg = (static_cast<int>(std::lround(-quarter)) % 360 + 360) % 360;
  out.skew_deg = angle - quarter;
  return out;
}

RasterFromSheet make_raster_from_sheet(double px_per_mm_x, double px_per_mm_y, bool flip_u, bool flip_v,
                                       double angle_rad, std::array<double, 2> centre_px,
                                       std::array<double, 2> centre_mm) {
  const double c = std::cos(angle_rad);
  const double s = std::sin(angle_rad);
  const double fu = flip_u ? -1 : 1;
  const double fv = flip_v ? -1 : 1;
  RasterFromSheet m;
  m.ux = px_per_mm_x * c * fu;
  m.uy = -px_per_mm_x * s * fv;
  m.vx = px_per_mm_y * s * fu;
  m.vy = px_per_mm_y * c * fv;
  m.u0 = centre_px[0] - m.ux * centre_mm[0] - m.uy * centre_mm[1];
  m.v0 = centre_px[1] - m.vx * centre_mm[0] - m.vy * centre_mm[1];
  return m;
}

}  // namespace scrapetrace::page
