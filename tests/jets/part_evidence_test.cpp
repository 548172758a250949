// Which way round the jets speak for: loudly where heads differ, not at all where they stand symmetrically,
// whatever streaks lie there.

#include "jets/part_evidence.h"

#include <gtest/gtest.h>

#include <cmath>

#include "geometry/frames.h"
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

// The same shifts everywhere, but the middle head two columns to the right of its neighbours' raster of jets,
// the last one three: mirrored it is one and three.
Layout uneven_heads() {
  Layout layout = bench_machine();
  layout.heads = {{"1", 0, 40, 118, false}, {"2", 1, 602, 126, false}, {"3", 0, 1203, 124, false}};
  return layout;
}

JetData data_of(const geometry::Machine& machine, const PageRaster& raster, const page::Placement& place) {
  profile::PreparedScan page;
  page.blur_px = place.blur_px;
  page.strips = profile::extract_strips(raster, place, machine.layout, {}, {});
  page.views = profile::make_ink_views(page.strips, place.chart, machine.layout, false, {});
  return JetData(machine, page);
}

// Sheets of 100 mm: x lies at 100 - x on the mirrored one.
DrumMap mirrored_from_true(const Layout& layout) {
  const geometry::SheetFromDrum sheet_from_drum(layout);
  const auto at = [&](double x_mm) { return sheet_from_drum.drum_x(100 - sheet_from_drum.sheet_x(x_mm)); };
  return {at(0), at(1) - at(0)};
}

// Of the way the sheet lies over its mirror image. `off`: of where the jets' pattern was found the one way.
std::vector<PartEvidence> evidence(const Layout& layout, const Causes& causes, std::uint64_t seed,
                                   const Trial& off = {}) {
  const ScanOptions scan = noisy_scan(seed);
  const auto raster = testing::raster_of(layout, bands(), causes, {}, scan);
  const auto place = testing::true_placement(bands(), {}, scan);
  const geometry::Machine machine(layout);
  PatternOptions options;
  options.sigma_mm = 0.3;
  const JetData upright = data_of(machine, raster, place);
  const JetData other = data_of(machine, raster, mirrored(place));
  WayShown one{upright, find_pattern(upright, machine, options).place};
  one.place.shift_mm += off.shift_mm, one.place.stretch += off.stretch;
  const WayShown two{other, find_pattern(other, machine, options).place};
  return evidence_by_parts(machine, one, two, mirrored_from_true(layout), 1);
}

double for_upright(const Layout& layout, const Causes& causes, std::uint64_t seed, const Trial& off = {}) {
  return log_odds(evidence(layout, causes, seed, off));
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

TEST(PartEvidence, TellsShiftsThatDiffer) {
  for (const double loss : {0.0, 0.05, 0.7})
    EXPECT_GT(for_upright(uneven_shifts(), loss > 0 ? scraped(loss) : Causes{}, 11), 8) << loss;
}

// Turned by half they lie as mirrored across: the prior against it is 1.4.
TEST(PartEvidence, TellsASheetTurnedByHalfWhereHeadsStandUnevenly) {
  for (const double loss : {0.0, 0.7})
    EXPECT_GT(for_upright(uneven_heads(), loss > 0 ? scraped(loss) : Causes{}, 12), 1.4) << loss;
}

TEST(PartEvidence, NoStreakTurnsASheetWhereHeadsStandSymmetrically) {
  for (const double loss : {0.0, 0.05, 0.3, 0.7}) {
    for (const std::uint64_t seed : {1U, 2U, 3U})
      EXPECT_LT(std::abs(for_upright(bench_machine(), loss > 0 ? scraped(loss) : Causes{}, seed)), 0.5)
          << loss << " " << seed;
  }
}

// A quarter of a column off, and as much more at the ends, one way fits the print worse by far.
TEST(PartEvidence, NoPoorlyFoundPlaceTurnsASheet) {
  const double column_mm = bench_machine().px_mm();
  EXPECT_LT(std::abs(for_upright(bench_machine(), {}, 4, {0.25 * column_mm, 0.25 * column_mm / 42})), 0.5);
}

TEST(PartEvidence, ExpectsWhatIsSeen) {
  double more = 0;
  double expected = 0;
  for (const PartEvidence& part : evidence(uneven_shifts(), {}, 13)) {
    more += part.more;
    expected += part.if_one;
    EXPECT_LE(part.if_other, 0.001);
  }
  EXPECT_NEAR(more / expected, 1, 0.3);
  for (const PartEvidence& part : evidence(bench_machine(), {}, 13)) {
    EXPECT_NEAR(part.if_one, 0, 0.002);
    EXPECT_NEAR(part.if_other, 0, 0.002);
  }
}

TEST(PartEvidence, HearsNothingWhereNothingIsExpected) {
  EXPECT_EQ(log_odds({{0.3, 0, 0, 0, 0.001}, {-0.1, 0, 0, 0, 0.001}}), 0);
}

TEST(PartEvidence, LetsNoPartDecide) {
  const double loud = log_odds({{0.9, 0.5, -0.5, 0, 0.001}});
  EXPECT_GT(loud, 1.5);
  EXPECT_LT(loud, 2.5);
  EXPECT_DOUBLE_EQ(log_odds({{-0.9, 0.5, -0.5, 0, 0.001}}), -loud);
  EXPECT_DOUBLE_EQ(log_odds({{0.5, 0.5, -0.5, 0, 0.001}}), loud) << "more than expected says no more";
}

}  // namespace
}  // namespace scrapetrace::jets
