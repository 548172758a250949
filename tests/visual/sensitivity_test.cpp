#include "visual/sensitivity.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <utility>

namespace scrapetrace::visual {
namespace {

// The short form of Barten, Proc. SPIE 5294 (2003), at L = 100 cd/m2 and a field of 10 degrees, worked out
// independently.
TEST(Sensitivity, BartenHasItsWorkedValues) {
  constexpr std::array<std::pair<double, double>, 9> kValues{{{1, 410.6707},
                                                              {2, 609.0124},
                                                              {4, 633.7408},
                                                              {8, 426.1171},
                                                              {12, 268.4079},
                                                              {16, 169.3842},
                                                              {20, 106.6262},
                                                              {32, 23.2651},
                                                              {50, 1.2282}}};
  for (const auto& [frequency, sensitivity] : kValues)
    EXPECT_NEAR(barten_sensitivity(frequency, 100), sensitivity, 1e-4 * sensitivity);
}

TEST(Sensitivity, TheWeightPeaksAtOne) {
  const auto weight = barten_weight(100);
  EXPECT_NEAR(weight(3.0380), 1, 1e-6);
  EXPECT_LT(weight(1), 1);
  EXPECT_LT(weight(8), 1);
}

// Dooley and Shaw 1979, VTF(f) = 5.05 exp(-0.138 f) (1 - exp(-0.1 f)) (constants from memory; their peak of
// 1.000 supports them).
double dooley_shaw(double f) {
  return 5.05 * std::exp(-0.138 * f) * (1 - std::exp(-0.1 * f));
}

// A box of height 1 through that filter at 350 mm, worked out by another program.
TEST(StripeFilter, ABoxKeepsWhatTheFilterLeavesOfIt) {
  constexpr std::array<std::pair<double, double>, 7> kPeaks{
      {{0.0423, 0.210}, {0.1, 0.463}, {0.2, 0.748}, {0.5, 0.817}, {1, 0.615}, {2, 0.517}, {5, 0.464}}};
  for (const auto& [width_mm, peak] : kPeaks) {
    const StripeFilter eye(dooley_shaw, 350, width_mm);
    EXPECT_NEAR(eye.peak_response({1}, width_mm), peak, 0.002) << width_mm;
  }
}

TEST(StripeFilter, SplittingABoxChangesNothing) {
  const StripeFilter eye(barten_weight(100), 350, 2);
  EXPECT_NEAR(eye.peak_response({1, 1, 1, 1}, 0.25), eye.peak_response({1}, 1), 1e-3);
  EXPECT_NEAR(eye.peak_response({3}, 0.2), 3 * eye.peak_response({1}, 0.2), 1e-12);
}

TEST(StripeFilter, FartherAwayAThinStreakIsHarderToSee) {
  const auto weight = barten_weight(100);
  EXPECT_GT(StripeFilter(weight, 350, 1).peak_response({1}, 0.1),
            StripeFilter(weight, 1000, 1).peak_response({1}, 0.1));
}

}  // namespace
}  // namespace scrapetrace::visual
