#include "scrapetrace/accept.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "accept/streak_colour.h"
#include "accept/verdict_consistency.h"
#include "report/sample.h"
#include "visual/cielab.h"

namespace scrapetrace {
namespace {

Findings one(const Streak& streak) {
  Findings out;
  out.scans = {sample::good_scan()};
  out.streaks = {streak};
  return out;
}

Acceptance judge(const Findings& findings, const Limits& limits) {
  return accept(sample::layout(), nullptr, findings, limits);
}

const LimitVerdict& verdict_on(const Acceptance& result, LimitKind kind) {
  return *std::find_if(result.limits.begin(), result.limits.end(),
                       [&](const LimitVerdict& limit) { return limit.kind == kind; });
}

// The sample's residue streak: loss 0.31 at z = 24, so +-0.0129; guarded by 1.64 that is 0.0212.
TEST(Accept, LossIsHeldAgainstItsLimitWithAGuard) {
  Limits limits;
  limits.loss_max = 0.28;
  EXPECT_EQ(judge(one(sample::residue_streak()), limits).verdict, Verdict::fail);
  limits.loss_max = 0.30;
  EXPECT_EQ(judge(one(sample::residue_streak()), limits).verdict, Verdict::cannot_judge);
  limits.loss_max = 0.34;
  EXPECT_EQ(judge(one(sample::residue_streak()), limits).verdict, Verdict::pass);
  limits.loss_max = 0.30;
  limits.guard = 0;
  EXPECT_EQ(judge(one(sample::residue_streak()), limits).verdict, Verdict::fail);
}

TEST(Accept, AFailureNamesStreakAndScan) {
  Limits limits;
  limits.width_max_mm = 1;
  const auto result = judge(one(sample::residue_streak()), limits);
  const auto& width = verdict_on(result, LimitKind::width);
  EXPECT_EQ(width.verdict, Verdict::fail);
  EXPECT_EQ(width.streaks, std::vector<std::size_t>{1});
  EXPECT_EQ(width.scans, std::vector<std::string>{"proof-17.tif"});
  EXPECT_DOUBLE_EQ(width.measured, 3.4);
}

// Two streaks within the limit: the worse one is named, and the scan that shows it.
TEST(Accept, APassNamesWhatComesNearestToTheLimit) {
  Limits limits;
  limits.width_max_mm = 5;
  limits.loss_max = 0.5;
  limits.number_max = 2;
  Findings findings = one(sample::residue_streak());
  findings.streaks.push_back(sample::residue_streak());
  findings.streaks[1].id = 2;
  findings.streaks[1].width_mm = 3.9;
  findings.streaks[1].scans = {1};
  findings.scans.push_back(sample::good_scan());
  findings.scans[1].file = "proof-18.tif";
  findings.scans[1].finest_streak_mm = 0.2;
  const auto result = judge(findings, limits);
  EXPECT_EQ(result.verdict, Verdict::pass);
  const auto& width = verdict_on(result, LimitKind::width);
  EXPECT_EQ(width.streaks, std::vector<std::size_t>{2});
  EXPECT_EQ(width.scans, std::vector<std::string>{"proof-18.tif"});
  EXPECT_EQ(verdict_on(result, LimitKind::sight).scans, std::vector<std::string>{"proof-18.tif"});
  EXPECT_EQ(verdict_on(result, LimitKind::number).streaks, (std::vector<std::size_t>{1, 2}));
  findings.streaks.clear();
  EXPECT_TRUE(verdict_on(judge(findings, limits), LimitKind::width).streaks.empty());
}

// One head at its limit, another below it: the first is named; with one beyond it, that one alone.
TEST(Accept, DeadJetsNameTheHeadThatComesNearest) {
  Limits limits;
  limits.dead_max_per_head = 2;
  Findings findings = one(sample::other_streak(1, 60, Cause::dead_jet));
  for (std::size_t i = 2; i <= 4; ++i)
    findings.streaks.push_back(sample::other_streak(i, 60 + 3.0 * static_cast<double>(i), Cause::dead_jet));
  findings.streaks[0].jet->head = "1";
  for (auto& streak : findings.streaks) streak.causes = {0, 0.98, 0, 0, 0, 0, 0.02};
  findings.streaks[3].jet->loss = 0.2;  // weak: not counted
  const auto pass = verdict_on(judge(findings, limits), LimitKind::dead_jets);
  EXPECT_EQ(pass.verdict, Verdict::pass);
  EXPECT_EQ(pass.places, std::vector<std::string>{"2"});
  EXPECT_EQ(pass.streaks, (std::vector<std::size_t>{2, 3}));
  limits.dead_max_per_head = 1;
  const auto fail = verdict_on(judge(findings, limits), LimitKind::dead_jets);
  EXPECT_EQ(fail.verdict, Verdict::fail);
  EXPECT_EQ(fail.places, std::vector<std::string>{"2"});
}

JetChange jet(std::size_t streak, JetState state, double probability = 0.99) {
  JetChange out;
  out.head = "2";
  out.after = streak;
  out.state = state;
  out.probability = probability;
  return out;
}

// A unit passed as good although the cleaning had ruined a head: nobody had held it against the scan before.
TEST(Accept, JetsThatTheWorkCostFailThePrint) {
  Limits limits;
  limits.lost_max = 0;
  Findings findings = one(sample::other_streak(1, 60, Cause::dead_jet));
  findings.streaks[0].causes = {0, 0.98, 0, 0, 0, 0, 0.02};
  const auto judged = [&](const std::vector<JetChange>& jets) {
    const Layout layout = sample::layout();
    return verdict_on(accept(layout, nullptr, findings, limits, &jets), LimitKind::lost_jets);
  };
  const auto lost = judged({jet(1, JetState::lost)});
  EXPECT_EQ(lost.verdict, Verdict::fail);
  EXPECT_EQ(lost.measured, 1);
  EXPECT_EQ(lost.places, std::vector<std::string>{"2"});
  EXPECT_EQ(lost.streaks, std::vector<std::size_t>{1});
  EXPECT_EQ(judged({}).verdict, Verdict::pass);
  EXPECT_EQ(judged({jet(1, JetState::was_so)}).verdict, Verdict::pass);
  EXPECT_EQ(judged({jet(1, JetState::unknown)}).verdict, Verdict::cannot_judge);
  EXPECT_EQ(judged({jet(1, JetState::lost, 0.7)}).verdict, Verdict::cannot_judge);
  limits.lost_max = 1;
  EXPECT_EQ(judged({jet(1, JetState::lost)}).verdict, Verdict::pass);
}

TEST(Accept, WithoutAScanFromBeforeNobodyKnowsWhichJetsWereLost) {
  Limits limits;
  limits.lost_max = 3;
  const auto result = judge(one(sample::residue_streak()), limits);
  EXPECT_EQ(verdict_on(result, LimitKind::lost_jets).verdict, Verdict::cannot_judge);
  EXPECT_EQ(result.verdict, Verdict::cannot_judge);
}

TEST(Accept, WhatMayBeTheScannersOwnOnlyKeepsFromPassing) {
  Limits limits;
  limits.number_max = 0;
  Streak streak = sample::residue_streak();
  EXPECT_EQ(judge(one(streak), limits).verdict, Verdict::fail);
  streak.causes = {0.5, 0, 0, 0, 0.5, 0};
  EXPECT_EQ(judge(one(streak), limits).verdict, Verdict::cannot_judge);
  streak.causes = {0.02, 0, 0, 0, 0.98, 0};
  EXPECT_EQ(judge(one(streak), limits).verdict, Verdict::pass);
}

TEST(Accept, DeadJetsAreCountedPerHead) {
  Limits limits;
  limits.dead_max_per_head = 0;
  limits.number_max = 0;
  Findings findings = one(sample::other_streak(1, 60, Cause::dead_jet));
  findings.streaks[0].causes = {0, 0.98, 0, 0, 0, 0, 0.02};
  EXPECT_EQ(judge(findings, limits).verdict, Verdict::fail);
  EXPECT_EQ(verdict_on(judge(findings, limits), LimitKind::dead_jets).places, std::vector<std::string>{"2"});
  EXPECT_EQ(verdict_on(judge(findings, limits), LimitKind::number).verdict, Verdict::pass);
  limits.dead_max_per_head = 1;
  EXPECT_EQ(judge(findings, limits).verdict, Verdict::pass);
  limits.dead_max_per_head = 0;
  findings.streaks[0].jet->loss = 0.3;  // weak, not dead
  EXPECT_EQ(judge(findings, limits).verdict, Verdict::pass);
}

// Without any limit on unchecked sides a strip of one head passed for the machine.
TEST(Accept, NextToNothingSeenAndAnUnprovedLayoutAreNoPass) {
  Findings findings;
  findings.scans = {sample::good_scan()};
  EXPECT_EQ(judge(findings, {}).verdict, Verdict::pass);
  findings.checked = 0.05;
  EXPECT_EQ(judge(findings, {}).verdict, Verdict::cannot_judge);
  findings.checked = 1;
  findings.scans[0].issues = {ScanIssue::unproved_layout};
  EXPECT_EQ(judge(findings, {}).verdict, Verdict::cannot_judge);
}

TEST(Accept, WhatWasNotSeenCannotBeJudged) {
  Limits limits;
  limits.sides_max = 0;
  Findings findings;
  findings.scans = {sample::good_scan()};
  EXPECT_EQ(judge(findings, limits).verdict, Verdict::pass);
  findings.unchecked = {{{0, 5}, "off the sheet", {{"1", Side::left, "insulation", 0.4}}}};
  EXPECT_EQ(judge(findings, limits).verdict, Verdict::cannot_judge);
  EXPECT_EQ(verdict_on(judge(findings, limits), LimitKind::unchecked_sides).places,
            std::vector<std::string>{"1:left"});
  findings.scans[0].registration.reset();
  findings.unchecked.clear();
  EXPECT_EQ(judge(findings, limits).verdict, Verdict::cannot_judge);
}

TEST(Accept, AScanTooBlindForTheLimitCannotPassIt) {
  Limits limits;
  limits.loss_max = 0.05;  // a streak 1 mm wide: 0.05 mm of total loss; the scan sees 0.09
  Findings findings;
  findings.scans = {sample::good_scan()};
  EXPECT_EQ(judge(findings, limits).verdict, Verdict::cannot_judge);
  limits.seen_from_mm = 2;
  EXPECT_EQ(judge(findings, limits).verdict, Verdict::pass);
}

TEST(Accept, FailBeatsCannotJudge) {
  Limits limits;
  limits.sides_max = 0;
  limits.number_max = 0;
  Findings findings = one(sample::residue_streak());
  findings.unchecked = {{{0, 5}, "off the sheet", {{"1", Side::left, "insulation", 0.4}}}};
  EXPECT_EQ(judge(findings, limits).verdict, Verdict::fail);
}

// A customer's two machines in one heap: neither a pass nor a fail would be about a machine there is.
TEST(Accept, SheetsOfTwoMachinesAreNeitherPassedNorFailed) {
  Limits limits;
  limits.loss_max = 0.5;
  Findings findings = one(sample::residue_streak());
  findings.scans.push_back(sample::good_scan());
  findings.scans.back().file = "other.tif";
  EXPECT_EQ(judge(findings, limits).verdict, Verdict::pass);
  findings.scans.back().issues = {ScanIssue::other_sheet};
  const auto mixed = judge(findings, limits);
  EXPECT_EQ(mixed.verdict, Verdict::cannot_judge);
  EXPECT_EQ(verdict_on(mixed, LimitKind::mixed).scans, std::vector<std::string>{"other.tif"});
  limits.loss_max = 0.1;
  EXPECT_EQ(verdict_on(judge(findings, limits), LimitKind::loss).verdict, Verdict::fail);
  EXPECT_EQ(judge(findings, limits).verdict, Verdict::cannot_judge);
}

TEST(Accept, VisibleContrastGrowsWithTheLoss) {
  Limits limits;
  limits.delta_e_max = 100;
  Streak streak = sample::residue_streak();
  const double strong = verdict_on(judge(one(streak), limits), LimitKind::visible).measured;
  streak.residue->loss = 0.02;
  const double faint = verdict_on(judge(one(streak), limits), LimitKind::visible).measured;
  EXPECT_GT(faint, 0);
  EXPECT_GT(strong, 3 * faint);
  limits.delta_e_max = faint / 2;
  EXPECT_EQ(judge(one(streak), limits).verdict, Verdict::fail);
}

// By hand: black at density 1.3 less 60 % is 0.52; relative to paper L* = 116 (10^-D)^(1/3) - 16, and
// CIEDE2000 of two greys is dL / S_L.
TEST(StreakColour, OfADeadJetIsTheColourThatRemains) {
  const Layout layout = sample::layout();
  const geometry::ColumnMap columns(layout);
  Streak streak = sample::other_streak(1, 60, Cause::dead_jet);
  streak.jet = JetFit{"2", "black", 57, 0.6};
  streak.inks = {"black"};
  const auto profiles = accept_detail::colour_profiles(layout, columns, nullptr, streak);
  ASSERT_EQ(profiles.size(), 1U);
  const double full = 26.7686;  // L* at density 1.3 and 0.52
  const double less = 116 * std::cbrt(std::pow(10, -0.52)) - 16;
  const double expected = visual::delta_e_2000({full, 0, 0}, {less, 0, 0});
  EXPECT_NEAR(*std::max_element(profiles[0].begin(), profiles[0].end()), expected, 0.01);
  EXPECT_EQ(std::count_if(profiles[0].begin(), profiles[0].end(), [](double d) { return d > 0; }),
            layout.passes());
}

// Whatever accept() says follows from its own numbers, also as they are rounded in a report.
TEST(VerdictConsistency, HoldsForAllThatIsJudged) {
  const auto rounded = [](double value) { return std::round(value * 1e5) / 1e5; };
  std::size_t seen[3] = {};
  for (const double loss : {-0.2, 0.0, 0.05, 0.28, 0.300004, 0.9}) {
    for (const double limit : {0.0, 0.07, 0.28, 0.3, 0.5}) {
      for (const double scanners : {0.0, 0.3, 0.99}) {
        Streak streak = sample::residue_streak();
        streak.loss = loss;
        streak.causes = {};
        streak.causes[static_cast<std::size_t>(Cause::residue)] = 1 - scanners;
        streak.causes[static_cast<std::size_t>(Cause::scanner_line)] = scanners;
        Limits limits;
        limits.loss_max = limit;
        limits.width_max_mm = 10 * limit;
        limits.number_max = limit > 0.2 ? 1 : 0;
        limits.delta_e_max = 20 * limit;
        limits.dead_max_per_head = 0;
        limits.sides_max = 0;
        for (LimitVerdict one : judge(::scrapetrace::one(streak), limits).limits) {
          for (double* value : {&one.limit, &one.measured, &one.sigma}) *value = rounded(*value);
          EXPECT_TRUE(accept_detail::is_consistent(one, limits.guard))
              << to_string(one.kind) << ' ' << to_string(one.verdict) << ' ' << one.measured << ' '
              << one.limit;
          ++seen[static_cast<std::size_t>(one.verdict)];
        }
      }
    }
  }
  for (const std::size_t times : seen) EXPECT_GT(times, 10U);
}

TEST(VerdictConsistency, NotForAPassBeyondTheLimitNorForNumbersThatAreNone) {
  using accept_detail::is_consistent;
  const LimitVerdict loss{LimitKind::loss, Verdict::pass, 0.1, 0.09, 0.002, {}, {}, {}};
  EXPECT_TRUE(is_consistent(loss, 1.64));
  auto nearer = loss;
  nearer.measured = 0.099;  // 0.1 - 1.64 * 0.002 = 0.09672
  EXPECT_FALSE(is_consistent(nearer, 1.64));
  auto fails = loss;
  fails.verdict = Verdict::fail;
  EXPECT_FALSE(is_consistent(fails, 1.64));
  auto none = loss;
  none.measured = std::nan("");
  EXPECT_FALSE(is_consistent(none, 1.64));
  EXPECT_FALSE(is_consistent({LimitKind::number, Verdict::pass, 1, 2, 0, {}, {}, {}}, 1.64));
  EXPECT_FALSE(is_consistent({LimitKind::unchecked_sides, Verdict::fail, 1, 2, 0, {}, {}, {}}, 1.64));
}

}  // namespace
}  // namespace scrapetrace
