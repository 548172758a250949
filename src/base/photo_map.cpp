#include "scrapetrace/photo.h"

namespace scrapetrace {

std::array<double, 2> PhotoMap::photo_px(double x_mm, double y_mm) const {
  const auto& h = ideal_from_sheet;
  const double w = h[6] * x_mm + h[7] * y_mm + h[8];
  const double u = (h[0] * x_mm + h[1] * y_mm + h[2]) / w - middle_px[0];
  const double v = (h[3] * x_mm + h[4] * y_mm + h[5]) / w - middle_px[1];
  const double r2 = (u * u + v * v) / (radius_px * radius_px);
  const double stretch = 1 + k1 * r2 + k2 * r2 * r2;
  return {middle_px[0] + u * stretch, middle_px[1] + v * stretch};
}

}  // namespace scrapetrace
