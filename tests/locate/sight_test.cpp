// Whether a person would see a streak, by what the pixels show of it.

#include "scrapetrace/sight.h"

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
using testing::streaks_of;
using testing::two_way_machine;

// So even a print that the scanner sees what nobody else does.
PrintOptions even_print() {
  PrintOptions print;
  print.jet_variation = 0.0005;
  print.grain = 0.001;
  print.mottle = 0;
  return print;
}

ScanOptions quiet_scan(std::uint64_t seed) {
  ScanOptions scan = noisy_scan(seed, 400);
  scan.noise = 0.3;
  scan.bits = 16;
  return scan;
}

TEST(Sight, AScrapeThatEverybodySeesNamesATarget) {
  const Layout layout = two_way_machine();
  const Findings findings =
      testing::find(layout, only(residue_at(layout, 0, Side::right, 1.2, 0.8, 0.4)), noisy_scan(1));
  const auto scrapes = streaks_by(findings, Cause::residue);
  ASSERT_EQ(scrapes.size(), 1U);
  EXPECT_TRUE(scrapes[0].visible);
  EXPECT_GT(scrapes[0].contrast, 10 * kLeastContrast);
  EXPECT_GT(probability_of(findings, "1", Side::right), 0.9);
  EXPECT_TRUE(findings.traces.empty());
}

// Whoever is sent to a hot machine for a line that no eye finds on the print goes there for nothing.
TEST(Sight, AScrapeThatNobodySeesIsATraceAndSendsNobodyToTheMachine) {
  const Layout layout = two_way_machine();
  const Chart chart = bench_chart();
  const ScanInput scan = scanned(layout, only(residue_at(layout, 0, Side::right, 1.2, 0.13, 0.006)),
                                 quiet_scan(2), even_print());
  const Findings findings = locate(layout, &chart, {scan}, {}).findings;
  ASSERT_FALSE(findings.streaks.empty());
  EXPECT_TRUE(findings.targets.empty()) << streaks_of(findings);
  EXPECT_TRUE(findings.order.empty());
  ASSERT_FALSE(findings.traces.empty()) << streaks_of(findings);
  EXPECT_EQ(findings.traces[0].head, "1");
  for (const Streak& streak : findings.streaks) {
    EXPECT_FALSE(streak.visible);
    EXPECT_LT(streak.contrast, kLeastContrast);
  }
  LocateOptions wish;
  wish.faint_too = true;
  const Findings all = locate(layout, &chart, {scan}, wish).findings;
  ASSERT_FALSE(all.targets.empty());
  EXPECT_TRUE(all.traces.empty());
  EXPECT_FALSE(all.order.empty());
  EXPECT_NEAR(all.targets[0].probability, findings.traces[0].probability, 1e-12);
  EXPECT_FALSE(all.streaks[0].visible);  // the wish changes what counts, not what is seen
}

}  // namespace
}  // namespace scrapetrace
