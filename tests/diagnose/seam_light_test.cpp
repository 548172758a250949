// Seams of carriages that stand off from each other, on pages whose truth is known.

#include "diagnose/seam_light.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "diagnose/column_evidence.h"
#include "diagnose/pages.h"
#include "diagnose/patch_losses.h"
#include "diagnose/search_carriages.h"

namespace scrapetrace::diagnose {
namespace {

using testing::bench_chart;
using testing::prepared_scan;
using testing::seam_of;
using testing::standing_off;

struct Shown {
  double loss = 0;     // the largest
  double as_seen = 0;  // the same, with the step in it
  int samples = 0;     // that show one
  int blind = 0;
};

// Within a millimetre of the seam of a page that has lost nothing.
Shown shown_beside(const Layout& layout, const PreparedScan& scan) {
  const geometry::ColumnMap columns(layout);
  Shown out;
  for (const PatchLoss& view :
       patch_losses(layout, columns, scan, measure_ink_noise(layout, columns, scan), {})) {
    for (std::size_t s = 0; s < view.beside.size(); ++s) {
      if (view.beside[s].variance <= 0) continue;
      const std::size_t k = view.seams.samples()[s].number;
      out.as_seen = std::max(out.as_seen, std::abs(view.beside[s].loss));
      out.loss = std::max(out.loss, std::abs(view.loss[k]));
      ++(view.variance[k] > 0 ? out.samples : out.blind);
    }
  }
  return out;
}

TEST(SeamLight, TakesOutWhatTheLayoutLeavesBareOrLaysTwice) {
  ScanOptions options = testing::quiet_scan(400);
  options.blur_px = 1;
  for (const double gap_mm : {0.05, -0.05}) {
    const Layout layout = standing_off(gap_mm);
    const Shown shown =
        shown_beside(layout, prepared_scan(layout, bench_chart(), {}, testing::quiet_print(), options));
    EXPECT_GT(shown.samples, 100) << gap_mm;
    EXPECT_EQ(shown.blind, 0) << gap_mm;
    EXPECT_GT(shown.as_seen, gap_mm > 0 ? 1 : 0.1) << gap_mm;
    EXPECT_LT(shown.loss, 0.02 * shown.as_seen) << gap_mm;
  }
}

TEST(SeamLight, LeavesNothingOfSamplesThatSeeTheGapAlone) {
  const Layout layout = standing_off(0.3);
  const Shown shown = shown_beside(
      layout, prepared_scan(layout, bench_chart(), {}, testing::quiet_print(), testing::quiet_scan(600)));
  EXPECT_GT(shown.blind, 10);
  EXPECT_GT(shown.samples, 100);
}

TEST(SeamLight, HasStepsWhereCarriagesStandOffOnly) {
  const Layout apart = standing_off(0.05);
  EXPECT_EQ(geometry::stand_offs(apart, geometry::ColumnMap(apart)).size(), 1U);
  const Layout layout = testing::bench_machine();
  EXPECT_TRUE(geometry::stand_offs(layout, geometry::ColumnMap(layout)).empty());
}

// What the search on the carriages finds of a page, where the layout may be wrong about its second carriage.
std::vector<streak::Region> found(const Layout& printed_by, const Layout& layout, const Causes& causes,
                                  std::uint64_t seed) {
  PrintOptions print;
  print.machine_seed = seed;
  ScanOptions options;
  options.dpi = 400;
  options.scan_seed = seed;
  const geometry::ColumnMap columns(layout);
  PreparedScan scan = prepared_scan(printed_by, bench_chart(), causes, print, options);
  const auto evidence =
      column_evidence(layout, columns, {scan}, {measure_ink_noise(layout, columns, scan)}, {});
  return search_carriages(layout, columns, evidence, {});
}

TEST(SeamLight, LetsAFaintScrapeBeSeenAcrossASeam) {
  for (const double gap_mm : {0.05, -0.05}) {
    const Layout layout = standing_off(gap_mm);
    const double x_mm = seam_of(layout).left_mm - 0.3;
    for (std::uint64_t seed = 1; seed <= 3; ++seed) {
      const auto regions = found(layout, layout, testing::one_scrape(x_mm, 0.6, 0.012), seed);
      ASSERT_EQ(regions.size(), 1U) << gap_mm << ' ' << seed;
      EXPECT_LT(regions[0].x_mm.from_mm, x_mm + 0.3);
      EXPECT_GT(regions[0].x_mm.to_mm, x_mm + 0.3);
    }
  }
}

TEST(SeamLight, FindsNothingBesideAGapAsWideAsItsSurroundings) {
  const Layout layout = standing_off(2.5);
  EXPECT_TRUE(found(layout, layout, {}, 1).empty());
}

// Ink spreads, and offsets are measured to some hundredths of a millimetre: neither is a scrape.
TEST(SeamLight, TakesAStepOfAnotherWidthForNoScrape) {
  for (const auto& [printed_mm, known_mm] :
       {std::pair{0.05, 0.03}, {0.03, 0.05}, {-0.05, -0.03}, {-0.03, -0.05}}) {
    for (std::uint64_t seed = 1; seed <= 3; ++seed) {
      EXPECT_TRUE(found(standing_off(printed_mm), standing_off(known_mm), {}, seed).empty())
          << printed_mm << ' ' << known_mm << ' ' << seed;
    }
  }
}

}  // namespace
}  // namespace scrapetrace::diagnose
