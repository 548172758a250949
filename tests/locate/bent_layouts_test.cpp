// A layout file that is a little wrong, as all are: what a seam of the file's makes expect is no finding.

#include <gtest/gtest.h>

#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::bench_machine;
using testing::find;
using testing::only;
using testing::probability_of;
using testing::residue_at;
using testing::scanned;
using testing::streaks_of;
using testing::two_way_machine;

ScanOptions sharp_scan(std::uint64_t seed) {
  ScanOptions scan;
  scan.dpi = 600;
  scan.scan_seed = seed;
  return scan;
}

Layout standing_off(double offset_mm) {
  Layout layout = bench_machine();
  layout.carriages[1].offset_mm = offset_mm;
  return layout;
}

// The print lacks the step that the file has.
TEST(BentLayouts, SendNobodyToCleanWhereASeamWasExpected) {
  for (std::uint64_t seed = 1; seed <= 3; ++seed) {
    PrintOptions print;
    print.machine_seed = seed;
    const ScanInput scan = scanned(bench_machine(), Causes{}, sharp_scan(seed), print);
    for (const double offset_mm : {-0.061, 0.02, 0.061}) {
      const Findings found = find(standing_off(offset_mm), {scan});
      EXPECT_TRUE(found.targets.empty()) << offset_mm << ' ' << seed << ' ' << streaks_of(found);
    }
  }
}

// The print has a step that the file lacks.
TEST(BentLayouts, SendNobodyToCleanAtASeamThatShows) {
  for (const double offset_mm : {-0.08, -0.04, 0.03, 0.08}) {
    PrintOptions print;
    print.machine_seed = 4;
    const Findings found =
        find(bench_machine(), {scanned(standing_off(offset_mm), Causes{}, sharp_scan(4), print)});
    for (const Target& t : found.targets)
      EXPECT_LT(t.probability, 0.2) << offset_mm << ' ' << streaks_of(found);
  }
}

// Beyond the last head the chart's bands are bare paper, and no wide streak.
TEST(BentLayouts, SendNobodyToCleanWhereTheChartIsWiderThanThePrint) {
  Layout layout = bench_machine();
  layout.heads[1].jets = 120;  // the ink ends 12 mm before the bands
  const Chart chart = testing::bench_chart();
  for (std::uint64_t seed = 1; seed <= 4; ++seed) {
    PrintOptions print;
    print.machine_seed = seed;
    const ScanInput scan = scanned(layout, Causes{}, sharp_scan(seed), print);
    Layout file = layout;
    file.carriages[1].offset_mm = seed % 2 == 0 ? 0.05 : 0;
    const Findings found = locate(file, &chart, {scan}, {}).findings;
    EXPECT_TRUE(found.targets.empty()) << seed << ' ' << streaks_of(found);
    EXPECT_TRUE(found.streaks.empty()) << seed << ' ' << streaks_of(found);
  }
}

// A head 0.05 mm beside its place moves the columns, and with them the phase that tells carriages apart.
TEST(BentLayouts, LeaveStrongScrapesWhereTheyAre) {
  for (const double offset_mm : {-0.05, 0.0, 0.05}) {
    Layout real = two_way_machine();
    real.carriages[1].offset_mm = offset_mm;
    for (const double width_mm : {0.3, 0.8}) {
      PrintOptions print;
      print.machine_seed = 6;
      const auto causes = only(residue_at(real, 0, Side::right, 2.5, width_mm, 0.4));
      const Findings found = find(two_way_machine(), {scanned(real, causes, sharp_scan(6), print)});
      EXPECT_GT(probability_of(found, "1", Side::right), 0.9)
          << offset_mm << ' ' << width_mm << ' ' << streaks_of(found);
    }
  }
}

}  // namespace
}  // namespace scrapetrace
