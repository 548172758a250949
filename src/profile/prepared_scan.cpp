#include "profile/prepared_scan.h"

#include <algorithm>

namespace scrapetrace::profile {

double PreparedScan::x_sigma_at(double x_drum_mm) const {
  if (x_errors.empty()) return x_sigma_mm;
  const auto right = std::find_if(x_errors.begin(), x_errors.end(),
                                  [&](const DrumError& error) { return error.x_mm >= x_drum_mm; });
  if (right == x_errors.begin()) return right->sigma_mm;
  if (right == x_errors.end()) return x_errors.back().sigma_mm;
  const DrumError& left = *(right - 1);
  const double t = (x_drum_mm - left.x_mm) / (right->x_mm - left.x_mm);
  return left.sigma_mm * (1 - t) + right->sigma_mm * t;
}

}  // namespace scrapetrace::profile
