#pragma once
// The affine map from the sheet (mm) to the raster (scan pixels across u and along v; pixel centres at
// half-integers), and its inverse.

#include <array>

#include "scrapetrace/page.h"

namespace scrapetrace::page {

struct RasterFromSheet {
  // u = u0 + ux x + uy y;  v = v0 + vx x + vy y
  double u0 = 0, ux = 1, uy = 0;
  double v0 = 0, vx = 0, vy = 1;

  [[nodiscard]] double u(double x_mm, double y_mm) const { return u0 + ux * x_mm + uy * y_mm; }
  [[nodiscard]] double v(double x_mm, double y_mm) const { return v0 + vx * x_mm + vy * y_mm; }
  // Sheet (x, y) of a raster point.
  [[nodiscard]] std::array<double, 2> sheet(double u_px, double v_px) const;
};

// How the sheet lies in the image the user gave.
struct Orientation {
  int turn_deg = 0;            // clockwise turn that brings the lead edge up: 0, 90, 180 or 270
  bool face_mirrored = false;  // after that turn the image is still a left-right mirror image
  double skew_deg = 0;         // rest of the rotation, clockwise positive in the image as given
};
Orientation orientation_of(const RasterFromSheet& map, bool transposed);

// The flips of the raster, as signs of the sheet's axes in it; with a skew (clockwise, radians, before the
// flips), a scale and the raster position of the sheet's centre.
RasterFromSheet make_raster_from_sheet(double px_per_mm_x, double px_per_mm_y, bool flip_u, bool flip_v,
                                       double angle_rad, std::array<double, 2> centre_px,
                                       std::array<double, 2> centre_mm);

}  // namespace scrapetrace::page
