#include "visual/sensitivity.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace scrapetrace::visual {

namespace {

constexpr double kHighest = 90;     // cycles per degree, the limit of vision
constexpr int kFrequencies = 1800;  // 0.05 cycles per degree apart
constexpr double kStep_mm = 0.01;
constexpr double kBeyond_mm = 2.0;  // beyond the profile, where its edges still ring

}  // namespace

double barten_sensitivity(double frequency, double luminance_cd_m2, double field_deg) {
  const double uu = frequency * frequency;
  if (uu == 0) return 0;
  const double optics = std::exp(-0.0016 * uu * std::pow(1 + 100 / luminance_cd_m2, 0.08));
  const double integration = 1 + 144 / (field_deg * field_deg) + 0.64 * uu;
  const double noise = 63 / std::pow(luminance_cd_m2, 0.83) + 1 / (1 - std::exp(-0.02 * uu));
  return 5200 * optics / std::sqrt(integration * noise);
}

Weight barten_weight(double luminance_cd_m2) {
  double peak = 0;
  for (double f = 0.1; f < 20; f += 0.01) peak = std::max(peak, barten_sensitivity(f, luminance_cd_m2));
  return [=](double f) { return barten_sensitivity(f, luminance_cd_m2) / peak; };
}

StripeFilter::StripeFilter(const Weight& weight, double viewing_distance_mm, double reach_mm)
    : spacing_mm_(kStep_mm) {
  const double degrees_per_mm = 180 / (std::numbers::pi * viewing_distance_mm);
  const double df = kHighest / kFrequencies;
  steps_.assign(static_cast<std::size_t>(std::ceil((reach_mm + kBeyond_mm) / kStep_mm)) + 2, 0.0);
  for (int k = 0; k < kFrequencies; ++k) {
    const double f = (k + 0.5) * df;
    const double u = f * degrees_per_mm;
    const double height = weight(f) * df * degrees_per_mm / (std::numbers::pi * u);
    for (std::size_t i = 0; i < steps_.size(); ++i)
      steps_[i] += height * std::sin(2 * std::numbers::pi * u * static_cast<double>(i) * kStep_mm);
  }
}

double StripeFilter::step(double t_mm) const {
  const double at = std::abs(t_mm) / spacing_mm_;
  const auto i = std::min(static_cast<std::size_t>(at), steps_.size() - 2);
  const double part = std::min(1.0, at - static_cast<double>(i));
  const double value = steps_[i] + part * (steps_[i + 1] - steps_[i]);
  return t_mm < 0 ? -value : value;
}

double StripeFilter::peak_response(const std::vector<double>& profile, double pitch_mm) const {
  const double length = static_cast<double>(profile.size()) * pitch_mm;
  double peak = 0;
  for (double x = -kBeyond_mm; x <= length + kBeyond_mm; x += kStep_mm) {
    double response = 0;
    double left = step(x);
    for (std::size_t c = 0; c < profile.size(); ++c) {
      const double right = step(x - static_cast<double>(c + 1) * pitch_mm);
      response += profile[c] * (left - right);
      left = right;
    }
    peak = std::max(peak, std::abs(response));
  }
  return peak;
}

}  // namespace scrapetrace::visual
