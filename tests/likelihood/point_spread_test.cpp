// What samples see, against sums of Gaussians.

#include "likelihood/point_spread.h"

#include <gtest/gtest.h>

#include <cmath>

#include "base/gaussian.h"

namespace scrapetrace::diagnose {
namespace {

constexpr double kBlur_mm = 0.06;
constexpr double kPitch_mm = 0.085;

TEST(PointSpread, IsASumOfPixelsGaussians) {
  profile::Phases halfway;
  halfway.add(0.5, 1);
  const PointSpread spread(kBlur_mm, kPitch_mm, halfway);
  for (double d = -0.4; d <= 0.4; d += 0.0137) {
    const auto of = [&](double pixels) { return gaussian_share((d - pixels * kPitch_mm) / kBlur_mm); };
    const double expected = (9 * (of(-0.5) + of(0.5)) - of(-1.5) - of(1.5)) / 16;
    EXPECT_NEAR(spread.left_of(d), expected, 3e-5) << d;
  }
  EXPECT_EQ(spread.left_of(-1), 0);
  EXPECT_EQ(spread.left_of(1), 1);
}

// Samples to the right of their pixel see what lies to the left of themselves.
TEST(PointSpread, LiesWhereThePixelsLie) {
  profile::Phases late;
  late.add(0.25, 1);
  const PointSpread spread(kBlur_mm, kPitch_mm, late);
  const auto taps = profile::cubic_taps(0.25);
  double expected = 0;
  for (int pixel = -1; pixel <= 2; ++pixel)
    expected += taps[static_cast<std::size_t>(pixel + 1)] *
                gaussian_share((0.02 - (pixel - 0.25) * kPitch_mm) / kBlur_mm);
  EXPECT_NEAR(spread.left_of(0.02), expected, 3e-5);
}

}  // namespace
}  // namespace scrapetrace::diagnose
