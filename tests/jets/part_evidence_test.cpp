// Which way round the jets speak for: loudly where heads differ, hardly where they stand symmetrically,
// whatever streaks lie there.

#include "jets/part_evidence.h"

#include <gtest/gtest.h>

#include "jets/find_pattern.h"
#include "profile/ink_view.h"
#include "support/raster_of.h"

namespace scrapetrace::jets {
namespace {

using testing::bench_machine;
using testing::noisy_scan;

// The same mirrored: bands from side to side, without the mark in the corner.
Chart bands() {
  Chart chart = testing::bench_chart();
  chart.patches.pop_back();
  return chart;
}

// Shifts 0, 1, 4, 7, 13: from the other end 0, 6, 9, 12, 13.
Layout uneven_shifts() {
  Layout layout = bench_machine();
  layout.interleave = {5, {0, 1, 7, 13, 4}};
  return layout;
}

page::Placement mirrored(page::Placement place) {
  place.map.u0 += place.map.ux * place.chart.sheet_mm[0];
  place.map.ux = -place.map.ux;
  return place;
}

std::vector<PartEvidence> evidence(const Layout& layout, const PageRaster& raster,
                                   const page::Placement& place) {
  diagnose::PreparedScan page;
  page.blur_px = place.blur_px;
  page.strips = profile::extract_strips(raster, place, layout, {}, {});
  page.views = profile::make_ink_views(page.strips, place.chart, layout, false, {});
  const geometry::ColumnMap columns(layout);
  const JetData data(layout, columns, page);
  PatternOptions options;
  options.sigma_mm = 0.3;
  return evidence_by_parts(data, find_pattern(data, layout, columns, options).place, 1);
}

// Of the way the sheet lies over its mirror image.
double for_upright(const Layout& layout, const Causes& causes, std::uint64_t seed) {
  const ScanOptions scan = noisy_scan(seed);
  const auto raster = testing::raster_of(layout, bands(), causes, {}, scan);
  const auto place = testing::true_placement(bands(), {}, scan);
  return log_odds(evidence(layout, raster, place), evidence(layout, raster, mirrored(place)), true);
}

Causes scraped(double loss) {
  Residue residue;
  residue.x_mm = 48;
  residue.width_mm = 1.5;
  residue.loss = loss;
  Causes causes;
  causes.residues = {residue};
  return causes;
}

TEST(PartEvidence, TellsHeadsThatDiffer) {
  for (const double loss : {0.0, 0.05, 0.7})
    EXPECT_GT(for_upright(uneven_shifts(), loss > 0 ? scraped(loss) : Causes{}, 11), 8) << loss;
}

// The prior against a mirror image is 7.6.
TEST(PartEvidence, HearsNoStreakWhereHeadsStandSymmetrically) {
  for (const double loss : {0.0, 0.05, 0.3, 0.7}) {
    for (const std::uint64_t seed : {1U, 2U, 3U})
      EXPECT_LT(std::abs(for_upright(bench_machine(), loss > 0 ? scraped(loss) : Causes{}, seed)), 4)
          << loss << " " << seed;
  }
}

TEST(PartEvidence, LetsNoPartDecide) {
  const std::vector<PartEvidence> loud = {{1, true}, {0, true}, {1, false}};
  const std::vector<PartEvidence> silent = {{0, true}, {0, true}, {0, true}};
  EXPECT_GT(log_odds(loud, silent, false), 0);
  EXPECT_LT(log_odds(loud, silent, false), 4);
  EXPECT_EQ(log_odds(silent, loud, true), -log_odds(loud, silent, true));
}

}  // namespace
}  // namespace scrapetrace::jets
