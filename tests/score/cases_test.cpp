#include <gtest/gtest.h>

#include <cmath>
#include <map>

#include "geometry/zones.h"
#include "score/case.h"
#include "score/judge.h"
#include "score/machines.h"
#include "score/priors.h"
#include "score/run_cases.h"

namespace scrapetrace::score {
namespace {

using testing::toy_machine;

ScoreOptions small_options() {
  ScoreOptions options;
  options.dpi = {300};
  options.full_height = 1;
  options.sheets = 2;
  return options;
}

// The parts of a record that could depend on who ran it.
std::string words_of(const CaseRecord& r) {
  std::string out = r.what;
  for (const auto* beliefs : {&r.located, &r.ideal}) {
    for (const double p : *beliefs) out += " " + std::to_string(p);
  }
  if (r.position) out += " " + std::to_string(r.position->error_mm);
  return out + (r.detected ? " found" : "");
}

std::map<int, std::string> run(int jobs, const std::vector<int>& indices) {
  std::map<int, std::string> out;
  run_cases({toy_machine()}, small_options(), indices, jobs,
            [&](const CaseRecord& r) { out[r.index] = words_of(r); });
  return out;
}

TEST(Cases, DoNotDependOnThreadsOrOrder) {
  const auto one = run(1, {0, 1, 2, 3, 4, 5});
  EXPECT_EQ(one, run(3, {5, 4, 3, 2, 1, 0}));
  EXPECT_EQ(one.size(), 6U);
}

TEST(Cases, TargetsAreDrawnByTheirPriors) {
  const std::vector<ScoreMachine> machines{toy_machine()};
  ScoreOptions options = small_options();
  options.kinds = {CaseKind::residue};
  const auto zones = geometry::target_zones(machines[0].layout);
  std::map<std::size_t, int> inner;  // of the two sides that face each other, whole on the print alike
  constexpr int kCases = 900;
  for (int k = 0; k < kCases; ++k) {
    const Case drawn = draw_case(machines, options, k);
    const Residue& r = *drawn.residue();
    EXPECT_GE(r.width_mm, kNarrowest_mm);
    EXPECT_LE(r.width_mm, kWidest_mm);
    EXPECT_GT(place_density(zones[static_cast<std::size_t>(drawn.truth)], r.x_mm, r.width_mm), 0);
    ++inner[static_cast<std::size_t>(drawn.truth)];
  }
  // The right side's prior is twice the left's.
  EXPECT_NEAR(static_cast<double>(inner[1]) / (inner[1] + inner[2]), 2.0 / 3, 0.07);
}

// Two carriages with one head each: whichever stands off, the seam between them opens.
TEST(Cases, ACarriageThatStandsOffOpensItsSeams) {
  const std::vector<ScoreMachine> machines{toy_machine()};
  ScoreOptions options = small_options();
  options.kinds = {CaseKind::clean};
  int shifted = 0;
  constexpr int kCases = 400;
  for (int k = 0; k < kCases; ++k) {
    const Case drawn = draw_case(machines, options, k);
    std::vector<Interval> seams;
    for (const TrueStreak& streak : true_streaks(drawn)) {
      if (streak.cause == Cause::seam_mismatch) seams.push_back(streak.drum_mm);
    }
    ASSERT_EQ(seams.size(), drawn.causes.shifts.size());
    if (seams.empty()) continue;
    ++shifted;
    const double offset_mm = drawn.causes.shifts.front().offset_mm;
    EXPECT_NEAR(std::abs(offset_mm), 0.24, 0.16);
    EXPECT_NEAR(seams.front().to_mm - seams.front().from_mm, 2 * std::abs(offset_mm) + 0.4, 1e-9);
    // Head 1 lays from column 30 on, 90 jets 5 steps apart; head 2 from 460 on: they meet over a few columns.
    EXPECT_NEAR(0.5 * (seams.front().from_mm + seams.front().to_mm) / machines[0].layout.px_mm(), 475, 20);
    EXPECT_NE(describe(drawn).find("off by"), std::string::npos);
  }
  EXPECT_NEAR(static_cast<double>(shifted) / kCases, 0.15, 0.05);
}

TEST(Cases, ShortChartsKeepTheirBandsApart) {
  const Chart chart = toy_machine().chart;
  const Chart cut = shortened(chart, 0.5);
  EXPECT_NEAR(cut.sheet_mm[1], 60 - 7 - 7 - 5, 1e-9);
  for (std::size_t p = 0; p + 1 < chart.patches.size(); ++p) {
    EXPECT_NEAR(cut.patches[p + 1].y_mm[0] - cut.patches[p].y_mm[1],
                chart.patches[p + 1].y_mm[0] - chart.patches[p].y_mm[1], 1e-9);
  }
  EXPECT_NEAR(cut.patches[3].y_mm[1] - cut.patches[3].y_mm[0], 5, 1e-9);  // the corner's mark stays whole
}

TEST(Cases, KindsHoldWhatTheySay) {
  const std::vector<ScoreMachine> machines{toy_machine()};
  ScoreOptions options = small_options();
  for (int k = 0; k < 60; ++k) {
    options.kinds = {CaseKind::clean};
    const Case clean = draw_case(machines, options, k);
    EXPECT_EQ(clean.truth, -1);
    const Causes& c = clean.causes;
    EXPECT_GE(c.jets.size() + c.scratches.size() + c.hazes.size() + c.lines.size(), 1U);
    options.kinds = {CaseKind::dead_jet};
    const Case jet = draw_case(machines, options, k);
    ASSERT_EQ(jet.causes.jets.size(), 1U);
    EXPECT_EQ(jet.causes.jets[0].loss, 1);
    options.kinds = {CaseKind::low_loss};
    EXPECT_LE(draw_case(machines, options, k).residue()->loss, kLowLoss.to);
  }
}

// One sheet twice is one print under two scans; what came before has no residue, and no fault of its own.
TEST(Cases, MoreEvidenceIsOfTheSameMachine) {
  const std::vector<ScoreMachine> machines{toy_machine()};
  ScoreOptions options = small_options();
  options.kinds = {CaseKind::evidence};
  options.sheets = 4;
  for (int k = 0; k < 40; ++k) {
    const Case drawn = draw_case(machines, options, k);
    const Sheet& first = drawn.sheets.front();
    ASSERT_EQ(drawn.sheets.size(), 4U);
    EXPECT_GE(drawn.residue()->loss, kEvidenceLoss.from);
    EXPECT_LE(drawn.residue()->loss, kEvidenceLoss.to);
    EXPECT_EQ(drawn.again->print.sheet_seed, first.scan.scan_seed);
    EXPECT_NE(drawn.again->scan.scan_seed, first.scan.scan_seed);
    EXPECT_EQ(drawn.again->print.shift_x_mm, first.print.shift_x_mm);
    EXPECT_EQ(drawn.before->print.machine_seed, first.print.machine_seed);
    EXPECT_TRUE(drawn.causes_before.residues.empty());
    EXPECT_LE(drawn.causes_before.jets.size(), drawn.causes.jets.size());
    EXPECT_EQ(drawn.causes_before.lines.size(), drawn.causes.lines.size());
  }
}

}  // namespace
}  // namespace scrapetrace::score
