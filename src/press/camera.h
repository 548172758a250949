#pragma once
// A camera above a sheet: projection and its inverse.

#include <array>

#include "press/scan_from_sheet.h"
#include "scrapetrace/simulate.h"

namespace scrapetrace::press {

class Camera {
 public:
  // The sheet's centre is at the picture's centre, at the distance where the sheet fills the picture as
  // asked.
  Camera(const std::array<double, 2>& sheet_mm, const CameraOptions& options);

  // Pixels; the centre of the first is (0.5, 0.5).
  [[nodiscard]] Point picture_from_sheet(Point sheet_mm) const;
  [[nodiscard]] Point sheet_from_picture(Point picture_px) const;
  // Light at a place of the picture, relative to the brightest.
  [[nodiscard]] double light_at(Point picture_px) const;
  [[nodiscard]] double px_per_mm() const { return focal_px_ / distance_mm_; }  // at the picture's centre

 private:
  [[nodiscard]] Point ideal_from_sheet(Point sheet_mm) const;

  CameraOptions options_;
  std::array<double, 2> middle_mm_;
  double focal_px_;
  double radius_px_;  // half the picture's diagonal
  double distance_mm_ = 1000;
  std::array<std::array<double, 3>, 3> turn_;  // camera axes from sheet axes
};

}  // namespace scrapetrace::press
