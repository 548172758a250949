// Scans of one machine in one state, and those that are not, as losses made by hand.

#include "quality/same_state.h"

#include <gtest/gtest.h>

#include <cmath>

namespace scrapetrace::quality {
namespace {

// 100 mm of drum from X 20 mm on, with noise of 0.5 %: alternating +-0.5 % around nothing.
Across quiet() {
  Across scan;
  scan.first_mm = 20;
  scan.noise = 0.005;
  for (int k = 0; k < 400; ++k) scan.loss.push_back(k % 2 == 0 ? 0.005 : -0.005);
  scan.views.assign(400, 3);
  return scan;
}

Across with_streak(double x_mm, double loss, double width_mm = 1) {
  Across scan = quiet();
  for (std::size_t k = 0; k < scan.loss.size(); ++k) {
    const double x = scan.first_mm + (static_cast<double>(k) + 0.5) * kAcrossBin_mm;
    if (std::abs(x - x_mm) < width_mm / 2) scan.loss[k] += loss;
  }
  return scan;
}

TEST(OtherState, NoneForOneScanOrTheSameStreak) {
  EXPECT_FALSE(other_state(with_streak(60, 0.4), {}));
  EXPECT_FALSE(other_state(with_streak(60, 0.4), {with_streak(60, 0.4)}));
  EXPECT_FALSE(other_state(quiet(), {quiet(), quiet()}));
}

TEST(OtherState, AStreakThatTheOthersLack) {
  const auto issue = other_state(with_streak(60, 0.4), {quiet(), quiet()});
  ASSERT_TRUE(issue);
  EXPECT_EQ(issue->kind, ScanIssue::other_sheet);
  EXPECT_EQ(issue->sentence.find("this scan shows a streak that the others lack near X 60 mm"), 0U)
      << issue->sentence;
}

TEST(OtherState, AStreakThatOnlyThisScanLacks) {
  const auto issue = other_state(quiet(), {with_streak(60, 0.4), with_streak(60, 0.3)});
  ASSERT_TRUE(issue);
  EXPECT_EQ(issue->sentence.find("this scan lacks a streak that the others show near X 60 mm"), 0U)
      << issue->sentence;
  // With one other scan nobody knows which of the two is the odd one: the other says it.
  EXPECT_FALSE(other_state(quiet(), {with_streak(60, 0.4)}));
}

// A quarter of the loss is the limit: contact pressure varies from print to print.
TEST(OtherState, NoneWhereAStreakFades) {
  EXPECT_FALSE(other_state(with_streak(60, 0.4), {with_streak(60, 0.12)}));
  EXPECT_TRUE(other_state(with_streak(60, 0.4), {with_streak(60, 0.07)}));
}

// Sheets are placed to a fraction of the 1.5 mm that is looked at on both sides.
TEST(OtherState, NoneWhereAStreakMovedALittle) {
  EXPECT_FALSE(other_state(with_streak(60, 0.4), {with_streak(61.5, 0.4)}));
  EXPECT_TRUE(other_state(with_streak(60, 0.4), {with_streak(64, 0.4)}));
}

TEST(OtherState, NoneWhereTheOtherDoesNotShowThePlace) {
  Across other = quiet();
  other.views[(60 - 20) * 4] = 0;
  EXPECT_FALSE(other_state(with_streak(60, 0.4), {other}));
  EXPECT_TRUE(other_state(with_streak(80, 0.4), {other}));
  EXPECT_FALSE(other_state(with_streak(21, 0.4), {quiet()}));  // at the end of what it shows
}

// Ten standard deviations, and five hundredths at least.
TEST(OtherState, NoneForFaintStreaks) {
  EXPECT_FALSE(other_state(with_streak(60, 0.04), {quiet()}));
  EXPECT_TRUE(other_state(with_streak(60, 0.07), {quiet()}));
  Across noisy = quiet();
  noisy.noise = 0.05;
  EXPECT_FALSE(other_state(with_streak(60, 0.4), {noisy}));
}

TEST(OtherState, NoneForASingleBin) {
  EXPECT_FALSE(other_state(with_streak(60.125, 0.4, 0.2), {quiet()}));
}

// Two views of two samples a bin, one of which is bridged.
TEST(AcrossDrum, AveragesTheSamplesOfABin) {
  profile::Strips strips;
  strips.grid = {10, kAcrossBin_mm / 2, 8};
  strips.strips.resize(2);
  for (auto& strip : strips.strips) strip.from = 0, strip.to = 8;
  strips.strips[1].to = 4;
  strips.strips[1].bridged.assign(8, false);
  strips.strips[1].bridged[1] = true;
  std::vector<profile::InkView> views(2);
  views[0].loss = {0.1F, 0.2F, 0.3F, 0.5F, 0, 0, 0, 0};
  views[1].strip = 1;
  views[1].loss = {0.6F, 9, 0, 0, 9, 9, 9, 9};
  const Across scan = across_drum(strips, views);
  EXPECT_DOUBLE_EQ(scan.first_mm, 10);
  ASSERT_GE(scan.loss.size(), 4U);
  EXPECT_NEAR(scan.loss[0], (0.1 + 0.2 + 0.6) / 3, 1e-7);
  EXPECT_NEAR(scan.loss[1], (0.3 + 0.5) / 4, 1e-7);
  EXPECT_EQ(scan.views[0], 3);
  EXPECT_EQ(scan.views[2], 2);
}

}  // namespace
}  // namespace scrapetrace::quality
