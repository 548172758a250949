#include "score/point_spread.h"

#include <cmath>

namespace scrapetrace::score {

namespace {

constexpr int kPerSigma = 400;

// Integral of the standard normal distribution function.
double normal_ramp(double t) {
  return t * 0.5 * std::erfc(-t * M_SQRT1_2) + std::exp(-0.5 * t * t) / std::sqrt(2 * M_PI);
}

}  // namespace

PointSpread::PointSpread(double sigma_mm, double box_mm)
    : reach_mm_(5.6 * sigma_mm + 0.5 * box_mm), per_mm_(kPerSigma / sigma_mm) {
  const double half = 0.5 * box_mm / sigma_mm;
  const auto size = static_cast<std::size_t>(std::ceil(2 * reach_mm_ * per_mm_)) + 2;
  for (std::size_t i = 0; i < size; ++i) {
    const double t = (static_cast<double>(i) / per_mm_ - reach_mm_) / sigma_mm;
    table_.push_back((normal_ramp(t + half) - normal_ramp(t - half)) / (2 * half));
  }
}

double PointSpread::left_of(double offset_mm) const {
  const double at = (offset_mm + reach_mm_) * per_mm_;
  if (at <= 0) return 0;
  const auto i = static_cast<std::size_t>(at);
  if (i + 1 >= table_.size()) return 1;
  return table_[i] + (at - static_cast<double>(i)) * (table_[i + 1] - table_[i]);
}

}  // namespace scrapetrace::score
