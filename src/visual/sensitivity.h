#pragma once
// Contrast sensitivity, and its effect on thin streaks.

#include <functional>
#include <vector>

namespace scrapetrace::visual {

// Contrast sensitivity at `frequency` cycles per degree, luminance L cd/m2, field of `field_deg` squared:
// Barten, Proc. SPIE 5294 (2003), 231-238, the short form
//   S = 5200 exp(-0.0016 u^2 (1 + 100/L)^0.08)
//       / sqrt((1 + 144/X^2 + 0.64 u^2) (63/L^0.83 + 1/(1 - exp(-0.02 u^2))))
double barten_sensitivity(double frequency, double luminance_cd_m2, double field_deg = 10);

// A sensitivity normalised to peak 1, by cycles per degree.
using Weight = std::function<double(double)>;
Weight barten_weight(double luminance_cd_m2);

// The eye as a linear filter. Its response to a step at 0 is S(t) = integral over u > 0 of sin(2 pi u t) /
// (pi u) V(u pi d / 180) du, u in cycles per mm, d the viewing distance.
class StripeFilter {
 public:
  // `reach_mm`: the largest distance from a step that is needed.
  StripeFilter(const Weight& weight, double viewing_distance_mm, double reach_mm);

  // The largest absolute response to adjacent stripes `pitch_mm` wide on a uniform background.
  [[nodiscard]] double peak_response(const std::vector<double>& profile, double pitch_mm) const;

 private:
  [[nodiscard]] double step(double t_mm) const;
  double spacing_mm_;
  std::vector<double> steps_;  // S at multiples of spacing_mm_, t >= 0; S is odd
};

}  // namespace scrapetrace::visual
