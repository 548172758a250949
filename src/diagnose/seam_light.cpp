#include "diagnose/seam_light.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/gaussian.h"

namespace scrapetrace::diagnose {

namespace {

// Standard deviations of what a step differs by from the layout's.
constexpr double kFilled = 0.5;     // of its width: ink spreads into it
constexpr double kWidth_mm = 0.03;  // and besides, because offsets are measured no better
constexpr double kPlace_mm = 0.02;
constexpr double kBlurred = 0.1;  // of the blur
struct Wing {
  double sigma_mm = 0;
  double part = 0;  // of the step's light
};
constexpr std::array<Wing, 2> kWings{{{0.1, 0.25}, {0.3, 0.1}}};

// Their numbers.
constexpr std::size_t kWidth = 0;
constexpr std::size_t kPlace = 1;
constexpr std::size_t kBlur = 2;
constexpr std::size_t kWing = 3;
static_assert(kWing + kWings.size() == kSeamShapes);

constexpr double kReach_mm = 1.0;  // three standard deviations of the widest wing

double gaussian(double d_mm, double sigma_mm) {
  return gaussian_density(d_mm / sigma_mm) / sigma_mm;
}

SeamLight::Sample seen_at(double x_mm, const SeamLight::Step& step, const PointSpread& spread) {
  const double left_mm = step.ends.left_mm + step.moved_mm - x_mm;
  const double right_mm = step.ends.right_mm + step.moved_mm - x_mm;
  const double gap_mm = step.ends.gap_mm();
  const double blur_mm = spread.blur_mm();
  SeamLight::Sample out;
  out.bare = spread.left_of(right_mm) - spread.left_of(left_mm);
  out.differs[kWidth] = out.bare * std::hypot(kFilled, kWidth_mm / gap_mm);
  out.differs[kPlace] = kPlace_mm * (spread.density(right_mm) - spread.density(left_mm));
  out.differs[kBlur] = kBlurred * blur_mm * (spread.slope_by_blur(right_mm) - spread.slope_by_blur(left_mm));
  for (std::size_t w = 0; w < kWings.size(); ++w) {
    const double sigma_mm = std::hypot(kWings[w].sigma_mm, blur_mm);
    out.differs[kWing + w] = kWings[w].part * gap_mm * gaussian(0.5 * (left_mm + right_mm), sigma_mm);
  }
  return out;
}

}  // namespace

SeamLight::SeamLight(std::vector<Step> steps, const profile::Grid& grid, const PointSpread& spread)
    : steps_(std::move(steps)), number_(static_cast<std::size_t>(grid.size), 0) {
  for (std::size_t s = 0; s < steps_.size(); ++s) {
    const auto [low, high] = std::minmax(steps_[s].ends.left_mm, steps_[s].ends.right_mm);
    const int from = std::max(0, static_cast<int>(std::ceil(grid.index(low - kReach_mm))));
    const int to = std::min(grid.size - 1, static_cast<int>(std::floor(grid.index(high + kReach_mm))));
    for (int i = from; i <= to; ++i) {
      Sample sample = seen_at(grid.at(i), steps_[s], spread);
      sample.number = static_cast<std::size_t>(i);
      sample.step = s;
      samples_.push_back(sample);
      number_[sample.number] = samples_.size();
    }
  }
}

double moved_mm(const std::array<double, kSeamShapes>& differs) {
  return kPlace_mm * differs[kPlace];
}

double straight_loss(double loss, double level) {
  return (std::pow(10, loss * level) - 1) / (std::numbers::ln10 * level);
}

double straight_loss_of_step(double level, bool overlap) {
  return straight_loss(overlap ? -1 : 1, level);
}

}  // namespace scrapetrace::diagnose
