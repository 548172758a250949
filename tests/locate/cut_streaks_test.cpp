// Streaks that the print's side cuts off: what is left of the side is the streak's, and no mark.

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

// Patches that end at drum X 63.5 mm, beside the gap between the heads.
Chart narrow_chart() {
  Chart chart = bench_chart();
  for (Patch& patch : chart.patches) patch.x_mm[1] = std::min(patch.x_mm[1], 53.5);
  return chart;
}

Findings find_cut(const Layout& layout, const Residue& residue, std::uint64_t seed) {
  const Chart chart = narrow_chart();
  PrintOptions print;
  print.machine_seed = seed;
  print.stretch_x = seed % 2 == 0 ? 1.0015 : 0.9985;
  print.shift_x_mm = 0.4;
  const ScanInput scan{"page.png",
                       testing::raster_of(layout, chart, only(residue), print, noisy_scan(seed, 400))};
  return locate(layout, &chart, {scan}, {}).findings;
}

TEST(CutStreaks, AreResidueAtTheirPlace) {
  const Layout layout = two_way_machine();
  for (std::uint64_t seed = 1; seed <= 4; ++seed) {
    // 1.5 mm wide and more: 62.3 to 64.6 mm, of which the last millimetre is off the print.
    const double outward_mm = 0.2 + 0.1 * static_cast<double>(seed);
    const Residue residue = residue_at(layout, 0, Side::right, outward_mm, 1.5, 0.5);
    const Findings found = find_cut(layout, residue, seed);
    ASSERT_TRUE(found.scans[0].analysed());
    const auto scrapes = streaks_by(found, Cause::residue);
    ASSERT_EQ(scrapes.size(), 1U) << seed;
    EXPECT_NEAR(scrapes[0].residue->x_drum_mm - 0.5 * scrapes[0].residue->width_mm, residue.x_mm, 0.12)
        << seed;
    EXPECT_GT(probability_of(found, "1", Side::right), 0.9) << seed;
  }
}

// What lies off the print shows nowhere, and nobody may wait for it to show.
TEST(CutStreaks, OfWhichMostIsOffThePrintAreNotPassedOver) {
  const Layout layout = two_way_machine();
  for (const double width_mm : {1.0, 2.0, 5.0}) {
    // From the head's outermost jet outward: what shows is the shallow end of the streak.
    const Findings found =
        find_cut(layout, residue_at(layout, 0, Side::right, width_mm / 2, width_mm, 0.5), 3);
    ASSERT_TRUE(found.scans[0].analysed());
    EXPECT_GT(probability_of(found, "1", Side::right), 0.9) << width_mm << " " << testing::streaks_of(found);
  }
}

// The ends of a print that nothing touches still place it to a fraction of a column.
TEST(CutStreaks, AStreakInsideLeavesTheSidesAlone) {
  const Layout layout = two_way_machine();
  const Findings found = find_cut(layout, residue_at(layout, 0, Side::right, -4, 0.5, 0.5), 5);
  ASSERT_TRUE(found.scans[0].registration.has_value());
  EXPECT_EQ(found.scans[0].registration->datum, Datum::patch_edges);
  EXPECT_LT(found.scans[0].registration->predicted_error_mm, 0.03);
}

}  // namespace
}  // namespace scrapetrace
