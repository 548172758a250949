// Scans from before the work on the machine: what they show is not new, and what they teach about the jets
// lets fainter scrapes be seen. One sheet laid twice is one witness.

#include <gtest/gtest.h>

#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::bench_chart;
using testing::noisy_scan;
using testing::only;
using testing::probability_of;
using testing::residue_at;
using testing::scanned;
using testing::streaks_by;
using testing::two_way_machine;

Findings find_since(const Layout& layout, const std::vector<ScanInput>& before,
                    const std::vector<ScanInput>& now) {
  const Chart chart = bench_chart();
  LocateOptions options;
  options.before = &before;
  return locate(layout, &chart, now, options).findings;
}

TEST(Before, WhatWasThereIsNotNewAndWhatIsNewIsFound) {
  const Layout layout = two_way_machine();
  // The old one far from every zone, among head 1's jets.
  const Causes old = only(residue_at(layout, 0, Side::right, -25.0, 0.8, 0.5));
  Causes now = old;
  now.residues.push_back(residue_at(layout, 0, Side::right, 1.2, 0.8, 0.4));
  const auto findings =
      find_since(layout, {scanned(layout, old, noisy_scan(1))}, {scanned(layout, now, noisy_scan(2))});
  ASSERT_EQ(findings.before.size(), 1U);
  EXPECT_TRUE(findings.before[0].analysed());
  ASSERT_EQ(findings.streaks.size(), 2U);
  int old_streaks = 0;
  for (const Streak& streak : findings.streaks) {
    EXPECT_EQ(streak.likeliest(), Cause::residue);
    old_streaks += streak.was_before ? 1 : 0;
  }
  EXPECT_EQ(old_streaks, 1);
  EXPECT_GT(probability_of(findings, "1", Side::right), 0.9);
}

TEST(Before, NothingNewIsNoTarget) {
  const Layout layout = two_way_machine();
  Causes old = only(residue_at(layout, 0, Side::right, 1.2, 0.8, 0.5));
  WeakJet jet;
  jet.head = 1;
  jet.ink = 1;
  jet.jet = 60;
  old.jets = {jet};
  for (std::uint64_t seed = 1; seed <= 3; ++seed) {
    const auto findings = find_since(layout, {scanned(layout, old, noisy_scan(seed))},
                                     {scanned(layout, old, noisy_scan(50 + seed))});
    for (const Target& target : findings.targets)
      EXPECT_LT(target.probability, 0.5) << seed << ' ' << target.head;
    for (const Streak& streak : findings.streaks) EXPECT_TRUE(streak.was_before) << seed;
  }
}

// A hundredth lost on jets that vary by three times as much: one sheet alone seldom shows it.
TEST(Before, JetsLearntBeforeLetFainterScrapesBeSeen) {
  const Layout layout = two_way_machine();
  PrintOptions print;
  print.jet_variation = 0.03;
  int alone = 0;
  int since = 0;
  for (std::uint64_t seed = 1; seed <= 6; ++seed) {
    print.machine_seed = seed;
    const Causes causes = only(residue_at(layout, 0, Side::right, 1.2, 0.7, 0.007));
    const ScanInput now = scanned(layout, causes, noisy_scan(seed), print);
    const ScanInput before = scanned(layout, {}, noisy_scan(30 + seed), print);
    const Chart chart = bench_chart();
    alone += probability_of(locate(layout, &chart, {now}, {}).findings, "1", Side::right) > 0.5 ? 1 : 0;
    since += probability_of(find_since(layout, {before}, {now}), "1", Side::right) > 0.5 ? 1 : 0;
  }
  EXPECT_GT(since, alone);
}

TEST(Before, OneThatCannotBeReadIsReported) {
  const Layout layout = two_way_machine();
  const ScanInput bad{"torn.png", Problem{"torn.png", 0, 0, "ends in the middle: save it again"}};
  const Causes causes = only(residue_at(layout, 0, Side::right, 1.2, 0.8, 0.5));
  const auto findings = find_since(layout, {bad}, {scanned(layout, causes, noisy_scan(3))});
  ASSERT_EQ(findings.before.size(), 1U);
  EXPECT_FALSE(findings.before[0].analysed());
  EXPECT_GT(probability_of(findings, "1", Side::right), 0.9);
}

// The same sheet twice repeats its grain and mottle: it says no more than two sheets do.
TEST(SameSheet, SaysNoMoreThanTwoSheets) {
  const Layout layout = two_way_machine();
  const Causes causes = only(residue_at(layout, 0, Side::right, 1.2, 0.4, 0.12));
  const std::vector<ScanInput> scans{scanned(layout, causes, noisy_scan(11)),
                                     scanned(layout, causes, noisy_scan(12))};
  const Chart chart = bench_chart();
  LocateOptions same;
  same.same_sheet = true;
  const auto one_sheet = streaks_by(locate(layout, &chart, scans, same).findings, Cause::residue);
  const auto two_sheets = streaks_by(locate(layout, &chart, scans, {}).findings, Cause::residue);
  ASSERT_EQ(one_sheet.size(), 1U);
  ASSERT_EQ(two_sheets.size(), 1U);
  EXPECT_GE(one_sheet[0].residue->loss_sigma, two_sheets[0].residue->loss_sigma);
}

}  // namespace
}  // namespace scrapetrace
