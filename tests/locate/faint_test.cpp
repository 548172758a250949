// Scrapes that hardly show beside the jets' own variation.

#include <gtest/gtest.h>

#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::find;
using testing::noisy_scan;
using testing::only;
using testing::probability_of;
using testing::residue_at;
using testing::streaks_by;
using testing::streaks_of;
using testing::two_way_machine;

// Wide ones show a little without the jets' volumes known, too little to be explained: that must not hide
// them from the search that knows those volumes.
class WideFaintScrape : public ::testing::TestWithParam<double> {};

TEST_P(WideFaintScrape, IsNamed) {
  const Layout layout = two_way_machine();
  const Causes causes = only(residue_at(layout, 0, Side::right, 1.2, 2.6, GetParam()));
  for (std::uint64_t seed = 41; seed <= 43; ++seed) {
    const Findings findings = find(layout, causes, noisy_scan(seed, 400));
    EXPECT_GT(probability_of(findings, "1", Side::right), 0.9) << seed << ": " << streaks_of(findings);
    EXPECT_EQ(streaks_by(findings, Cause::residue).size(), findings.streaks.size()) << streaks_of(findings);
  }
}

INSTANTIATE_TEST_SUITE_P(Losses, WideFaintScrape, ::testing::Values(0.006, 0.009, 0.014, 0.02));

TEST(Faint, IsSoughtOnACoarseJpegWhereThereIsNothingBetter) {
  const Layout layout = two_way_machine();
  const Causes causes = only(residue_at(layout, 0, Side::right, 1.2, 0.8, 0.008));
  PageRaster rounded = testing::raster_of(layout, testing::bench_chart(), causes, {}, noisy_scan(33, 400));
  rounded.pixels.quantisation_sigma = 4;
  const ScanInput coarse{"coarse.jpg", std::move(rounded)};
  EXPECT_GT(probability_of(find(layout, {coarse}), "1", Side::right), 0.9);
}

// What hides under the jets' variation may stand far out of all else: then its place and its side are known
// to a column.
TEST(Faint, AStrongScrapeUnderTheJetsIsPlacedToAColumn) {
  const Layout layout = two_way_machine();
  PrintOptions print;
  print.jet_variation = 0.03;
  print.grain = 0.01;
  for (const double width_mm : {0.3, 0.63, 1.2}) {
    const Residue residue = residue_at(layout, 0, Side::right, 0.8, width_mm, 0.035);
    for (std::uint64_t seed = 51; seed <= 52; ++seed) {
      const Findings findings = find(layout, only(residue), noisy_scan(seed, 300), print);
      ASSERT_FALSE(findings.targets.empty()) << width_mm << " " << seed;
      EXPECT_EQ(findings.targets.front().head, "1");
      EXPECT_NEAR(findings.targets.front().x_drum_mm, residue.x_mm + width_mm / 2, 0.07)
          << width_mm << " " << seed << ": " << streaks_of(findings);
    }
  }
}

}  // namespace
}  // namespace scrapetrace
