// Whether a person would see a streak, by what the pixels show of it.

#include "scrapetrace/sight.h"

#include <gtest/gtest.h>

#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::noisy_scan;
using testing::only;
using testing::probability_of;
using testing::residue_at;
using testing::streaks_by;
using testing::two_way_machine;

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

// A pale yellow that is missing is hardly seen; the scan of an even print shows it plainly.
TEST(Sight, AScrapeThatNobodySeesIsATraceAndSendsNobody) {
  Layout layout = two_way_machine();
  layout.inks[2].solid_density_rgb = {0.0, 0.02, 0.5};
  Chart chart = testing::bench_chart();
  for (Patch& patch : chart.patches) patch.inks = {"yellow"};
  const auto causes = only(residue_at(layout, 0, Side::right, 1.2, 0.5, 0.012));
  PrintOptions even;
  even.jet_variation = 0.004;
  even.mottle = 0.001;
  const ScanInput scan{"page.png", testing::raster_of(layout, chart, causes, even, noisy_scan(1))};
  const Findings findings = locate(layout, &chart, {scan}, {}).findings;
  const auto scrapes = streaks_by(findings, Cause::residue);
  ASSERT_EQ(scrapes.size(), 1U);
  EXPECT_FALSE(scrapes[0].visible) << scrapes[0].contrast;
  EXPECT_TRUE(findings.targets.empty());
  double traced = 0;
  for (const Target& t : findings.traces)
    traced += t.head == "1" && t.side == Side::right ? t.probability : 0;
  EXPECT_GT(traced, 0.5);
  LocateOptions all;
  all.faint_too = true;
  EXPECT_FALSE(locate(layout, &chart, {scan}, all).findings.targets.empty()) << "the user's wish";
}

}  // namespace
}  // namespace scrapetrace
