#include "likelihood/point_spread.h"

#include <algorithm>
#include <cmath>

#include "base/gaussian.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kReach_blurs = 5;
constexpr double kReach_px = 1;  // and so far besides: what a cubic's far pixels see beyond is 1e-5 at most
constexpr double kStepsPerBlur = 48;  // at least: straight lines between them are off by 1.3e-5 at most

}  // namespace

PointSpread::PointSpread(double blur_mm, double pitch_mm, const profile::Phases& phases) : blur_mm_(blur_mm) {
  const int finer =
      std::max(1, static_cast<int>(std::ceil(kStepsPerBlur * pitch_mm / (profile::kPhases * blur_mm))));
  step_mm_ = pitch_mm / (profile::kPhases * finer);
  const auto taps = phases.taps();
  const int farthest = 2 * profile::kPhases;
  const int reach = static_cast<int>(std::ceil((kReach_blurs * blur_mm + kReach_px * pitch_mm) / step_mm_));
  reach_mm_ = reach * step_mm_;
  std::vector<double> share;  // of one pixel's Gaussian
  for (int k = -reach - farthest * finer; k <= reach + farthest * finer; ++k) {
    share.push_back(gaussian_share(k * step_mm_ / blur_mm_));
  }
  left_of_.assign(static_cast<std::size_t>(2 * reach + 1), 0.0);
  for (int tap = -farthest; tap <= farthest; ++tap) {
    const double weight = taps[static_cast<std::size_t>(tap + farthest)];
    if (weight == 0) continue;
    const auto first = static_cast<std::size_t>((farthest - tap) * finer);
    for (std::size_t i = 0; i < left_of_.size(); ++i) left_of_[i] += weight * share[first + i];
  }
}

double PointSpread::left_of(double d_mm) const {
  const double place = (d_mm + reach_mm_) / step_mm_;
  if (place <= 0) return 0;
  const auto i = static_cast<std::size_t>(place);
  if (i + 1 >= left_of_.size()) return 1;
  return left_of_[i] + (place - static_cast<double>(i)) * (left_of_[i + 1] - left_of_[i]);
}

}  // namespace scrapetrace::diagnose
