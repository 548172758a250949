// The sRGB curve backwards and at its ends; its values are compared with the standard's beside the press.

#include "base/srgb.h"

#include <gtest/gtest.h>

#include <cmath>

namespace scrapetrace {
namespace {

// The published constants leave a gap of 2.3e-9 in linear light where the two branches meet, 4e-8 in code.
constexpr double kBranchGap = 5e-8;

TEST(Srgb, RoundTripsAndRises) {
  double before = -1;
  for (int i = 0; i <= 4000; ++i) {
    const double code = i / 4000.0;
    const double linear = linear_from_srgb(code);
    EXPECT_GT(linear, before);
    EXPECT_NEAR(srgb_from_linear(linear), code, kBranchGap);
    before = linear;
  }
}

TEST(Srgb, NearestCodesAreThoseOfTheCurve) {
  constexpr int kSteps = 300000;
  for (int i = -10; i <= kSteps + 10; ++i) {
    const double linear = (i + 0.123) / kSteps;
    EXPECT_EQ(int{srgb8_from_linear(linear)}, std::lround(255 * srgb_from_linear(linear))) << linear;
  }
  for (std::size_t code = 0; code < 256; ++code)
    EXPECT_EQ(srgb8_from_linear(linear_from_srgb8()[code]), code);
}

TEST(Srgb, ClampsAndTabulates) {
  EXPECT_EQ(linear_from_srgb(-0.1), 0);
  EXPECT_EQ(linear_from_srgb(1.5), 1);
  EXPECT_EQ(srgb_from_linear(-3), 0);
  EXPECT_NEAR(srgb_from_linear(2), 1, 1e-15);
  for (std::size_t code = 0; code < 256; ++code) {
    EXPECT_EQ(linear_from_srgb8()[code], linear_from_srgb(static_cast<double>(code) / 255));
  }
}

}  // namespace
}  // namespace scrapetrace
