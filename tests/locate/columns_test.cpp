// Where the print's columns lie to a fraction of one, and what one jet draws when its lines stand far apart.

#include <gtest/gtest.h>

#include <cmath>

#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::bench_chart;
using testing::bench_machine;
using testing::noisy_scan;

// A jet's lines stand 13 columns apart: 0.83 mm, more than lies between two streaks of different causes.
Layout wide_steps() {
  Layout layout = bench_machine();
  layout.interleave = {12, {}};
  for (int k = 0; k < 12; ++k) layout.interleave.shift_px.push_back(13 * k);
  layout.heads = {{"1", 0, 0, 91, false}, {"2", 1, 880, 80, false}};
  return layout;
}

TEST(Columns, LinesOfOneDeadJetAreOneStreak) {
  const Layout layout = wide_steps();
  for (const double dpi : {300.0, 400.0}) {
    Causes causes;
    causes.jets = {{0, 1, 45, 1}};  // magenta
    const Chart chart = bench_chart();
    const ScanInput scan{"page.png", testing::raster_of(layout, chart, causes, {}, noisy_scan(31, dpi))};
    const Findings found = locate(layout, &chart, {scan}, {}).findings;
    ASSERT_EQ(found.streaks.size(), 1U) << dpi;
    EXPECT_EQ(found.streaks[0].likeliest(), Cause::dead_jet) << dpi;
    ASSERT_TRUE(found.streaks[0].jet.has_value());
    EXPECT_EQ(found.streaks[0].jet->jet, 45) << dpi;
    EXPECT_TRUE(found.targets.empty() || found.targets[0].probability < 0.1) << dpi;
  }
}

// A print's sides are whole columns, and a chart that is off by less may have them rounded the other way: the
// jets show by how much.
TEST(Columns, AreWhereTheJetsShowThem) {
  const Layout layout = bench_machine();
  const double column_mm = layout.px_mm();
  for (const double off_mm : {-0.03, 0.0, 0.03}) {
    PrintOptions print;
    print.shift_x_mm = 0.7;
    Chart given = bench_chart();
    for (Patch& patch : given.patches) {
      for (double& x : patch.x_mm) x += off_mm;
    }
    // Both sides of the bench chart are rounded down, and by +0.03 mm up.
    const double rounded_mm = off_mm > 0 ? column_mm : 0;
    const ScanInput scan{"page.png",
                         testing::raster_of(layout, bench_chart(), {}, print, noisy_scan(7, 600))};
    const Findings found = locate(layout, &given, {scan}, {}).findings;
    ASSERT_TRUE(found.scans[0].registration.has_value());
    const Registration& placed = *found.scans[0].registration;
    ASSERT_TRUE(placed.jets_moved_mm.has_value()) << off_mm;
    EXPECT_NEAR(*placed.jets_moved_mm, rounded_mm, 0.2 * column_mm) << off_mm;
    EXPECT_LT(placed.predicted_error_mm, 0.25 * column_mm) << off_mm;
    EXPECT_TRUE(found.streaks.empty()) << off_mm << ": " << testing::streaks_of(found);
  }
}

}  // namespace
}  // namespace scrapetrace
