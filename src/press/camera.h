#pragma once
// A camera over a sheet: where sheet places come to lie in its picture, and back.

#include <array>

#include "press/scan_from_sheet.h"
#include "scrapetrace/simulate.h"

namespace scrapetrace::press {

class Camera {
 public:
  // The sheet's middle lies in the picture's; the camera stands back until the sheet fills the picture as
  // asked.
  Camera(const std::array<double, 2>& sheet_mm, const CameraOptions& options);

  // Pixels; the centre of the first is (0.5, 0.5).
  [[nodiscard]] Point picture_from_sheet(Point sheet_mm) const;
  [[nodiscard]] Point sheet_from_picture(Point picture_px) const;
  // Share of the brightest light that falls on a place of the picture.
  [[nodiscard]] double light_at(Point picture_px) const;
  [[nodiscard]] double px_per_mm() const { return focal_px_ / distance_mm_; }  // in the picture's middle

 private:
  [[nodiscard]] Point ideal_from_sheet(Point sheet_mm) const;

  CameraOptions options_;
  std::array<double, 2> middle_mm_;
  double focal_px_;
  double radius_px_;  // half the picture's diagonal
  double distance_mm_ = 1000;
  std::array<std::array<double, 3>, 3> turn_;  // from the sheet's axes to the camera's
};

}  // namespace scrapetrace::press
