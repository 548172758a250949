#pragma once
// The affine map from sheet (mm) to raster (scan pixels, u across, v along, pixel centres at half-integers),
// and its inverse.

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

// How the sheet lies in the image as given.
struct Orientation {
  int turn_deg = 0;            // clockwise turn that brings the lead edge to the top: 0, 90, 180 or 270
  bool face_mirrored = false;  // after that turn the image is still mirrored left to right
  double skew_deg = 0;         // residual rotation, clockwise positive in the image as given
};
Orientation orientation_of(const RasterFromSheet& map, bool transposed);

// From flips (signs of the sheet's axes in the raster), skew (clockwise radians, before the flips), scale and
// the raster position of the sheet's centre.
RasterFromSheet make_raster_from_sheet(double px_per_mm_x, double px_per_mm_y, bool flip_u, bool flip_v,
                                       double angle_rad, std::array<double, 2> centre_px,
                                       std::array<double, 2> centre_mm);

}  // namespace scrapetrace::page
