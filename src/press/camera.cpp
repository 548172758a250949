#include "press/camera.h"

#include <algorithm>
#include <cmath>

namespace scrapetrace::press {

namespace {

using Matrix = std::array<std::array<double, 3>, 3>;

double radians(double degrees) {
  return degrees * M_PI / 180;
}

Matrix product(const Matrix& a, const Matrix& b) {
  Matrix out{};
  for (std::size_t i = 0; i < 3; ++i) {
    for (std::size_t j = 0; j < 3; ++j) {
      for (std::size_t k = 0; k < 3; ++k) out[i][j] += a[i][k] * b[k][j];
    }
  }
  return out;
}

Matrix about_axis(double angle_deg) {
  const double c = std::cos(radians(angle_deg));
  const double s = std::sin(radians(angle_deg));
  return {{{c, -s, 0}, {s, c, 0}, {0, 0, 1}}};
}

Matrix about_x(double angle_deg) {
  const double c = std::cos(radians(angle_deg));
  const double s = std::sin(radians(angle_deg));
  return {{{1, 0, 0}, {0, c, -s}, {0, s, c}}};
}

}  // namespace

Camera::Camera(const std::array<double, 2>& sheet_mm, const CameraOptions& options)
    : options_(options),
      middle_mm_{sheet_mm[0] / 2, sheet_mm[1] / 2},
      focal_px_(std::max(options.width_px, options.height_px) /
                (2 * std::tan(radians(options.view_deg) / 2))),
      radius_px_(0.5 * std::hypot(options.width_px, options.height_px)),
      turn_(product(about_axis(options.roll_deg),
                    product(about_axis(options.tilt_towards_deg),
                            product(about_x(options.tilt_deg), about_axis(-options.tilt_towards_deg))))) {
  double near = 10;
  double far = 1e5;
  for (int round = 0; round < 80; ++round) {
    distance_mm_ = 0.5 * (near + far);
    double fill = 0;
    for (const double x : {0.0, sheet_mm[0]}) {
      for (const double y : {0.0, sheet_mm[1]}) {
        const double dx = x - middle_mm_[0];
        const double dy = y - middle_mm_[1];
        const bool behind = turn_[2][0] * dx + turn_[2][1] * dy + distance_mm_ <= 1;
        const Point at = picture_from_sheet({x, y});
        fill = std::max({fill, behind ? 10.0 : std::abs(2 * at.x / options.width_px - 1),
                         behind ? 10.0 : std::abs(2 * at.y / options.height_px - 1)});
      }
    }
    (fill > options.fill ? near : far) = distance_mm_;
  }
}

Point Camera::ideal_from_sheet(Point sheet_mm) const {
  const double x = sheet_mm.x - middle_mm_[0];
  const double y = sheet_mm.y - middle_mm_[1];
  const double depth = turn_[2][0] * x + turn_[2][1] * y + distance_mm_;
  return {focal_px_ * (turn_[0][0] * x + turn_[0][1] * y) / depth,
          focal_px_ * (turn_[1][0] * x + turn_[1][1] * y) / depth};
}

Point Camera::picture_from_sheet(Point sheet_mm) const {
  const Point ideal = ideal_from_sheet(sheet_mm);
  const double r2 = (ideal.x * ideal.x + ideal.y * ideal.y) / (radius_px_ * radius_px_);
  const double stretch = 1 + options_.k1 * r2 + options_.k2 * r2 * r2;
  return {options_.width_px / 2.0 + ideal.x * stretch, options_.height_px / 2.0 + ideal.y * stretch};
}

// Inverts the lens by Newton's method along the radius, then intersects the ray with the sheet.
Point Camera::sheet_from_picture(Point picture_px) const {
  const double u = picture_px.x - options_.width_px / 2.0;
  const double v = picture_px.y - options_.height_px / 2.0;
  const double seen = std::hypot(u, v) / radius_px_;
  double r = seen;
  for (int round = 0; round < 10; ++round) {
    const double r2 = r * r;
    const double miss = r * (1 + options_.k1 * r2 + options_.k2 * r2 * r2) - seen;
    if (std::abs(miss) < 1e-13) break;
    r -= miss / (1 + 3 * options_.k1 * r2 + 5 * options_.k2 * r2 * r2);
  }
  const double undone = seen > 0 ? r / seen : 1;
  const std::array<double, 3> ray = {u * undone / focal_px_, v * undone / focal_px_, 1};
  // camera = turn * sheet + (0, 0, distance); intersect the back-rotated ray with z = 0.
  std::array<double, 3> back{};
  std::array<double, 3> eye{};
  for (std::size_t i = 0; i < 3; ++i) {
    for (std::size_t k = 0; k < 3; ++k) back[i] += turn_[k][i] * ray[k];
    eye[i] = -turn_[2][i] * distance_mm_;
  }
  const double reach = -eye[2] / back[2];
  return {middle_mm_[0] + eye[0] + reach * back[0], middle_mm_[1] + eye[1] + reach * back[1]};
}

double Camera::light_at(Point picture_px) const {
  const double u = (picture_px.x - options_.width_px / 2.0) / radius_px_;
  const double v = (picture_px.y - options_.height_px / 2.0) / radius_px_;
  const double a = radians(options_.light_from_deg);
  const double away = 0.5 * (1 - (std::cos(a) * u + std::sin(a) * v));
  return 1 - options_.fall_off * (0.6 * std::clamp(away, 0.0, 1.0) + 0.4 * std::min(1.0, u * u + v * v));
}

}  // namespace scrapetrace::press
