// Blend weights against integrals of the point spread taken numerically.

#include "likelihood/blend.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace scrapetrace::diagnose {
namespace {

constexpr double kBlur_mm = 0.05;
constexpr double kCutOff = 3e-5;  // of straight lines in the point spread's tables, two of them in a weight

// Boxes of uneven widths over 0 to 6 mm.
std::vector<double> edges() {
  std::vector<double> out = {0};
  for (int k = 0; out.back() < 6; ++k) out.push_back(out.back() + 0.02 + 0.03 * ((k * 7) % 5));
  return out;
}

// Simpson's rule.
double gaussian_over(double from, double to, double middle) {
  constexpr int kSteps = 400;
  const double h = (to - from) / kSteps;
  double sum = 0;
  for (int k = 0; k <= kSteps; ++k) {
    const double d = (from + k * h - middle) / kBlur_mm;
    const double factor = k == 0 || k == kSteps ? 1 : (k % 2 == 1 ? 4 : 2);
    sum += factor * std::exp(-0.5 * d * d);
  }
  return sum * h / 3 / (kBlur_mm * std::sqrt(2 * std::numbers::pi));
}

TEST(Blend, WeightsAreTheBlurredBoxes) {
  const auto boxes = edges();
  const std::vector<double> x = {1.0, 1.07, 2.5, 3.333, 5.0};
  for (const double shift : {0.0, 0.031, -0.4}) {
    const Blend blend = make_blend(boxes, x, shift, PointSpread(kBlur_mm));
    ASSERT_EQ(blend.first.size(), x.size());
    for (std::size_t i = 0; i < x.size(); ++i) {
      double sum = 0;
      for (std::size_t k = 0; k + 1 < boxes.size(); ++k) {
        const auto within = static_cast<std::ptrdiff_t>(k) - blend.first[i];
        const bool held = within >= 0 && within < static_cast<std::ptrdiff_t>(blend.weight[i].size());
        const double weight = held ? blend.weight[i][static_cast<std::size_t>(within)] : 0.0;
        EXPECT_NEAR(weight, gaussian_over(boxes[k], boxes[k + 1], x[i] + shift), kCutOff) << i << " " << k;
        sum += weight;
      }
      EXPECT_NEAR(sum, 1, kCutOff);
    }
  }
}

TEST(Blend, HoldsOnlyWhatFallsOnBoxes) {
  const auto boxes = edges();
  const Blend blend = make_blend(boxes, {0.0}, 0, PointSpread(kBlur_mm));
  double sum = 0;
  for (const double w : blend.weight[0]) sum += w;
  EXPECT_NEAR(sum, 0.5, kCutOff);  // half of the point spread lies before the first box
}

}  // namespace
}  // namespace scrapetrace::diagnose
