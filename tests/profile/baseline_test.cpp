// Baselines: what they follow, and what they do not.

#include "profile/baseline.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

namespace scrapetrace::profile {
namespace {

constexpr double kPitch_mm = 0.1;

std::vector<float> trace(int size, const auto& value) {
  std::vector<float> out;
  for (int i = 0; i < size; ++i) out.push_back(static_cast<float>(value(i * kPitch_mm)));
  return out;
}

TEST(Baseline, FollowsWhatIsSlow) {
  const auto drift = [](double x_mm) { return 1 + 0.05 * std::sin(2 * std::numbers::pi * x_mm / 400); };
  const auto values = trace(2000, drift);
  const auto level = baseline(values, 0, 2000, kPitch_mm, {});
  // Half a window from the ends on; a median follows a bend to second order of its window.
  for (int i = 200; i < 1800; ++i)
    EXPECT_NEAR(level[static_cast<std::size_t>(i)], drift(i * kPitch_mm), 1e-3);
}

TEST(Baseline, StaysUnderAStreakOfUpToHalfItsWindow) {
  const auto values = trace(2000, [](double x_mm) { return x_mm >= 90 && x_mm < 109 ? 0.6 : 1.0; });
  for (const float level : baseline(values, 0, 2000, kPitch_mm, {})) EXPECT_EQ(level, 1.0F);
  BaselineOptions narrow;
  narrow.window_mm = 20;  // and not under a wider one
  EXPECT_NEAR(baseline(values, 0, 2000, kPitch_mm, narrow)[1000], 0.6, 1e-6);
}

TEST(Baseline, IsOfTheSamplesGivenAlone) {
  auto values = trace(1000, [](double) { return 2.0; });
  for (int i = 0; i < 300; ++i) values[static_cast<std::size_t>(i)] = 9;
  const auto level = baseline(values, 300, 1000, kPitch_mm, {});
  for (int i = 0; i < 1000; ++i) EXPECT_EQ(level[static_cast<std::size_t>(i)], i < 300 ? 0.0F : 2.0F);
}

// What is known to be wrong is marked as no number: a trace that is denser on one half shows where the middle
// of its window lies, and a streak beside the step would move that.
TEST(Baseline, LeavesOutWhatIsNoNumber) {
  const auto step = [](double x_mm) { return x_mm < 100 ? 1.0 : 1.1; };
  auto values = trace(2000, step);
  auto marked = values;
  for (std::size_t i = 900; i < 980; ++i) {
    values[i] = 2;
    marked[i] = std::numeric_limits<float>::quiet_NaN();
  }
  const auto pulled = baseline(values, 0, 2000, kPitch_mm, {});
  const auto level = baseline(marked, 0, 2000, kPitch_mm, {});
  EXPECT_FLOAT_EQ(pulled[940], 1.1F);  // 26 mm of the window are not the left level
  EXPECT_FLOAT_EQ(level[940], 1.0F);   // 18 of its other 32 are
  for (const float value : level) EXPECT_FALSE(std::isnan(value));
}

// Fewer samples than a cell, and one.
TEST(Baseline, OfAlmostNothingIsItsMean) {
  const std::vector<float> values{1, 2, 3};
  EXPECT_EQ(baseline(values, 0, 3, kPitch_mm, {}), (std::vector<float>{2, 2, 2}));
  EXPECT_EQ(baseline(values, 1, 2, kPitch_mm, {}), (std::vector<float>{0, 2, 0}));
}

}  // namespace
}  // namespace scrapetrace::profile
