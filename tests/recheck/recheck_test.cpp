#include "scrapetrace/recheck.h"

#include <gtest/gtest.h>

#include <cmath>

#include "recheck/pairs.h"

namespace scrapetrace {
namespace {

using pairs::reading;

const std::vector<Cleaned> kCleanedA = {{"a", Side::right, ""}};

Recheck judge(const RecheckEvidence& evidence, const RecheckOptions& options = {}) {
  return recheck(pairs::layout(), evidence, kCleanedA, options);
}

RecheckEvidence gone() {
  return pairs::one_streak(pairs::residue(1, 30, 0.3, 0.8, 0.15), reading(0.30), reading(0.002));
}

// The same streak again after the cleaning, at `x_mm`, reading `after`.
RecheckEvidence found_again(double x_mm, Reading after) {
  RecheckEvidence evidence = gone();
  evidence.of_before.on_after = {{after}};
  evidence.after = pairs::findings({pairs::residue(1, x_mm, after.loss, 0.8, 0.15)});
  evidence.of_after = {{{reading(0.30)}}, {{after}}};
  return evidence;
}

TEST(Recheck, GoneClosesTheCase) {
  const Recheck result = judge(gone());
  ASSERT_EQ(result.changes.size(), 1U);
  EXPECT_EQ(result.changes[0].change, Change::gone);
  EXPECT_NEAR(result.changes[0].at_most, 0.002 + 1.6449 * 0.01, 1e-9);  // one-sided 95 % of a Gaussian
  EXPECT_EQ(result.haze, Haze::clean);
  EXPECT_EQ(result.next, NextStep::close);
}

TEST(Recheck, GoneNeedsAPageThatCouldHaveShownIt) {
  RecheckEvidence evidence = gone();
  evidence.of_before.on_after = {{Reading{}}};
  EXPECT_EQ(judge(evidence).changes[0].change, Change::could_not_look);
  EXPECT_EQ(judge(evidence).next, NextStep::look_again);  // nothing is opened for what was not seen

  // So noisy that nearly half the streak could hide: 0.002 + 1.6449 * 0.09 = 0.15 of 0.30.
  evidence.of_before.on_after = {{reading(0.002, 0.09)}};
  EXPECT_EQ(judge(evidence).changes[0].change, Change::could_not_look);
  RecheckOptions loose;
  loose.gone_below = 0.6;
  EXPECT_EQ(judge(evidence, loose).changes[0].change, Change::gone);
}

TEST(Recheck, FainterSaysByHowMuchAndHowSure) {
  const Recheck result = judge(found_again(30, reading(0.12)));
  EXPECT_EQ(result.changes[0].change, Change::fainter);
  EXPECT_NEAR(result.changes[0].fainter_by, 0.6, 1e-12);
  // Of a quotient a / b: hypot(sigma_a, (a / b) sigma_b) / b.
  EXPECT_NEAR(result.changes[0].fainter_sigma, std::hypot(0.01, 0.4 * 0.01) / 0.3, 1e-12);
  EXPECT_EQ(result.next, NextStep::clean_again);
  EXPECT_TRUE(result.targets.front().cleaned);
}

TEST(Recheck, FainterIsSeenEvenWhereNoSearchWouldFindIt) {
  RecheckEvidence evidence = gone();
  evidence.of_before.on_after = {{reading(0.06)}};
  const Recheck result = judge(evidence);
  EXPECT_EQ(result.changes[0].change, Change::fainter);
  EXPECT_FALSE(result.changes[0].after.has_value());
}

TEST(Recheck, UnchangedSendsToTheRival) {
  const Recheck result = judge(found_again(30.02, reading(0.29)));
  EXPECT_EQ(result.changes[0].change, Change::unchanged);
  EXPECT_EQ(result.changes[0].after, 1U);
  // 0.15 * 0.93 / (0.8 * 0.08 + 0.15 * 0.93 + 0.05 * 0.93) = 0.1395 / 0.25
  EXPECT_EQ(result.targets.front().head, "b");
  EXPECT_NEAR(result.targets.front().now, 0.558, 1e-9);
  EXPECT_EQ(result.next, NextStep::clean_next);
}

TEST(Recheck, StrongerIsSaid) {
  EXPECT_EQ(judge(found_again(30, reading(0.45))).changes[0].change, Change::stronger);
}

TEST(Recheck, MovedNeedsTheOldPlaceEmpty) {
  RecheckEvidence evidence = found_again(32, reading(0.28));
  evidence.of_before.on_after = {{reading(0.0)}};
  const Recheck moved = judge(evidence);
  ASSERT_EQ(moved.changes.size(), 1U);
  EXPECT_EQ(moved.changes[0].change, Change::moved);
  EXPECT_NEAR(moved.changes[0].moved_mm, 2, 1e-9);

  evidence.of_before.on_after = {{reading(0.30)}};  // still there: the other one is new
  const Recheck both = judge(evidence);
  ASSERT_EQ(both.changes.size(), 2U);
  EXPECT_EQ(both.changes[0].change, Change::unchanged);
  EXPECT_EQ(both.changes[1].change, Change::appeared);
}

TEST(Recheck, MovedALittleCoversItsOldPlace) {
  RecheckEvidence evidence = found_again(31.2, reading(0.28));
  evidence.of_before.on_after = {{reading(0.12)}};  // 31.2 -+ 1 mm lies partly over 30 -+ 1 mm
  const Recheck result = judge(evidence);
  ASSERT_EQ(result.changes.size(), 1U);
  EXPECT_EQ(result.changes[0].change, Change::moved);
}

TEST(Recheck, FarOffIsNewAndNotMoved) {
  RecheckEvidence evidence = found_again(60, reading(0.28));
  evidence.of_before.on_after = {{reading(0.0)}};
  const Recheck result = judge(evidence);
  EXPECT_EQ(result.count(Change::gone), 1U);
  EXPECT_EQ(result.count(Change::appeared), 1U);
}

TEST(Recheck, HazeKeepsThePressRunning) {
  RecheckEvidence evidence = gone();
  evidence.white_after = {{reading(-0.02, 0.001)}};
  EXPECT_EQ(judge(evidence).haze, Haze::present);
  EXPECT_NEAR(judge(evidence).haze_density, 0.02, 1e-12);
  EXPECT_EQ(judge(evidence).next, NextStep::print_on);

  // Sheet by sheet: the last one is clean.
  evidence.white_after = {{reading(-0.02, 0.001), reading(-0.008, 0.001), reading(-0.001, 0.001)}};
  EXPECT_EQ(judge(evidence).haze, Haze::cleared);
  EXPECT_EQ(judge(evidence).next, NextStep::close);

  evidence.white_after = {{Reading{}}};
  EXPECT_EQ(judge(evidence).haze, Haze::could_not_look);
  EXPECT_EQ(judge(evidence).next, NextStep::look_again);
}

TEST(Recheck, HazeElsewhereCountsToo) {
  RecheckEvidence evidence = gone();
  evidence.after = pairs::findings({pairs::haze(1, 70)});
  evidence.of_after = {{{reading(0)}}, {{reading(-0.05, 0.001)}}};
  EXPECT_EQ(judge(evidence).haze, Haze::present);
  EXPECT_EQ(judge(evidence).next, NextStep::print_on);
}

TEST(Recheck, WithoutAnAfterSheetItCouldNotLook) {
  RecheckEvidence evidence = gone();
  evidence.after.scans[0].registration.reset();
  evidence.of_before.on_after = {{Reading{}}};
  EXPECT_EQ(judge(evidence).next, NextStep::look_again);
}

TEST(Recheck, SeveralSheetsPoolWithoutPretendingIndependence) {
  const Reading two = pooled({reading(0.30, 0.01), Reading{}, reading(0.20, 0.02)});
  EXPECT_NEAR(two.loss, (4 * 0.30 + 0.20) / 5, 1e-12);  // weights 1 / sigma^2: 4 to 1
  EXPECT_NEAR(two.sigma, (4 * 0.01 + 0.02) / 5, 1e-12);
  EXPECT_FALSE(pooled({Reading{}, Reading{}}).seen);
}

TEST(Recheck, TwoStreaksOfOneTargetBothCount) {
  RecheckEvidence evidence = gone();
  evidence.before =
      pairs::findings({pairs::residue(1, 30, 0.3, 0.8, 0.15), pairs::residue(2, 40, 0.3, 0.5, 0.4)});
  evidence.of_before = {{{reading(0.3)}, {reading(0.3)}}, {{Reading{}}, {Reading{}}}};
  const Recheck result = judge(evidence);
  for (const auto& target : result.targets) {
    if (!target.cleaned) continue;
    // 1 - (1 - 0.8 * 0.2) (1 - 0.5 * 0.2)
    EXPECT_NEAR(target.now, 0.244, 1e-12);
  }
}

}  // namespace
}  // namespace scrapetrace
