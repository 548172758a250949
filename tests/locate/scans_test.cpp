// Several scans together, scans that fail, and pages that are not what they should be.

#include <gtest/gtest.h>

#include "locate/pages.h"
#include "scrapetrace/report.h"

namespace scrapetrace {
namespace {

using testing::bench_chart;
using testing::bench_machine;
using testing::find;
using testing::noisy_scan;
using testing::only;
using testing::probability_of;
using testing::residue_at;
using testing::scanned;
using testing::streaks_by;
using testing::two_way_machine;

bool any_reason_says(const ScanReport& scan, const std::string& part) {
  return std::any_of(scan.reasons.begin(), scan.reasons.end(),
                     [&](const std::string& r) { return r.find(part) != std::string::npos; });
}

// A faint narrow scrape, seen once and twice: two sheets of one machine say it more surely.
TEST(Scans, TwoOfOneMachineSayMoreThanOne) {
  const Layout layout = two_way_machine();
  double once = 0;
  double twice = 0;
  double sigma_once = 0;
  double sigma_twice = 0;
  for (std::uint64_t seed = 1; seed <= 3; ++seed) {
    const Causes causes = only(residue_at(layout, 0, Side::right, 1.2, 0.4, 0.12));
    const ScanInput first = scanned(layout, causes, noisy_scan(10 + seed));
    const ScanInput second = scanned(layout, causes, noisy_scan(20 + seed));
    const Findings one = find(layout, {first});
    const Findings two = find(layout, {first, second});
    once += probability_of(one, "1", Side::right);
    twice += probability_of(two, "1", Side::right);
    const auto scrapes = streaks_by(two, Cause::residue);
    ASSERT_EQ(scrapes.size(), 1U);
    EXPECT_EQ(scrapes[0].scans, (std::vector<std::size_t>{0, 1}));
    const auto alone = streaks_by(one, Cause::residue);
    ASSERT_EQ(alone.size(), 1U);
    EXPECT_EQ(alone[0].scans, std::vector<std::size_t>{0});
    sigma_once += alone[0].residue->loss_sigma;
    sigma_twice += scrapes[0].residue->loss_sigma;
  }
  EXPECT_GT(twice, once - 0.01);
  EXPECT_LT(sigma_twice, sigma_once * 1.05);
}

// A contact that comes and goes: the sheet that lacks its streak says nothing against it, wherever it is
// given.
TEST(Scans, OneThatLacksAStreakDoesNotHideIt) {
  const Layout layout = two_way_machine();
  for (const double loss : {0.5, 0.25}) {
    const Causes causes = only(residue_at(layout, 0, Side::right, 1.2, 0.8, loss));
    const ScanInput first = scanned(layout, causes, noisy_scan(41));
    const ScanInput second = scanned(layout, causes, noisy_scan(42));
    const ScanInput without = scanned(layout, {}, noisy_scan(43));
    const double known = probability_of(find(layout, {first, second}), "1", Side::right);
    ASSERT_GT(known, 0.9);
    const std::vector<std::size_t> none_but_last{0, 1};
    const std::vector<std::size_t> none_but_first{1, 2};
    for (const auto& [scans, shown] : {std::pair{std::vector{first, second, without}, none_but_last},
                                       std::pair{std::vector{without, first, second}, none_but_first}}) {
      const Findings found = find(layout, scans);
      ASSERT_EQ(found.streaks.size(), 1U) << testing::streaks_of(found);
      EXPECT_EQ(found.streaks[0].scans, shown);
      EXPECT_NEAR(probability_of(found, "1", Side::right), known, 0.01);
    }
    EXPECT_GT(probability_of(find(layout, {first, without}), "1", Side::right), 0.9);
  }
}

// A coarse coder's scan shows less than the other one, which still names the place.
TEST(Scans, ACoarseJpegAmongThemHidesNoScrape) {
  const Layout layout = two_way_machine();
  const Causes causes = only(residue_at(layout, 0, Side::right, 1.2, 0.8, 0.08));
  const ScanInput clear = scanned(layout, causes, noisy_scan(31, 400));
  PageRaster rounded = testing::raster_of(layout, bench_chart(), causes, {}, noisy_scan(32, 400));
  rounded.pixels.quantisation_sigma = 4;
  const ScanInput coarse{"coarse.jpg", std::move(rounded)};
  const Findings alone = find(layout, {clear});
  const Findings both = find(layout, {clear, coarse});
  EXPECT_GT(probability_of(alone, "1", Side::right), 0.9);
  EXPECT_GT(probability_of(both, "1", Side::right), 0.9);
}

TEST(Scans, OneThatCannotBeReadDoesNotStopTheOthers) {
  const Layout layout = two_way_machine();
  const ScanInput good =
      scanned(layout, only(residue_at(layout, 0, Side::right, 1.5, 0.8, 0.5)), noisy_scan(1));
  const ScanInput bad{"torn.png", Problem{"torn.png", 0, 0, "ends in the middle: save it again"}};
  const Findings alone = find(layout, {good});
  const Findings both = find(layout, {bad, good});
  ASSERT_EQ(both.scans.size(), 2U);
  EXPECT_FALSE(both.scans[0].analysed());
  EXPECT_EQ(both.scans[0].file, "torn.png");
  EXPECT_EQ(both.scans[0].verdict, QualityVerdict::rescan);
  EXPECT_TRUE(any_reason_says(both.scans[0], "save it again"));
  EXPECT_TRUE(both.scans[1].analysed());
  ASSERT_FALSE(both.targets.empty());
  EXPECT_EQ(both.targets[0].head, "1");
  EXPECT_EQ(both.targets[0].side, Side::right);
  EXPECT_NEAR(both.targets[0].probability, alone.targets[0].probability, 1e-9);
  ASSERT_EQ(both.streaks.size(), 1U);
  EXPECT_EQ(both.streaks[0].scans, std::vector<std::size_t>{1});  // in the caller's numbering
}

TEST(Scans, NoneAnalysedLeavesEverythingUnchecked) {
  const Findings found =
      find(bench_machine(), {{"torn.png", Problem{"torn.png", 0, 0, "ends in the middle"}}});
  EXPECT_FALSE(found.any_scan_analysed());
  EXPECT_TRUE(found.targets.empty());
  ASSERT_EQ(found.unchecked.size(), 1U);
  EXPECT_EQ(found.unchecked[0].targets.size(), 4U);
}

TEST(Scans, SameInputSameFindings) {
  const Layout layout = two_way_machine();
  Causes causes = only(residue_at(layout, 0, Side::right, 1.5, 0.8, 0.5));
  causes.jets = {{1, 1, 60, 1}};
  causes.hazes = {{40, 4, 0.06, {}}};
  const std::vector<ScanInput> scans = {scanned(layout, causes, noisy_scan(2)),
                                        scanned(layout, causes, noisy_scan(3))};
  const Findings first = find(layout, scans);
  const Findings second = find(layout, scans);
  EXPECT_EQ(report::locate_json(layout, first, {"test", {}}),
            report::locate_json(layout, second, {"test", {}}));
  ASSERT_EQ(first.targets.size(), second.targets.size());
  ASSERT_FALSE(first.targets.empty());
  for (std::size_t k = 0; k < first.targets.size(); ++k) {
    EXPECT_EQ(first.targets[k].probability, second.targets[k].probability);  // to the last bit
    EXPECT_EQ(first.targets[k].x_drum_mm, second.targets[k].x_drum_mm);
  }
}

TEST(Scans, ABlankPageShowsNoPrint) {
  Chart blank = bench_chart();
  blank.patches.clear();
  const ScanInput input{"blank.png", testing::raster_of(bench_machine(), blank, {}, {}, noisy_scan(1))};
  const Findings found = find(bench_machine(), {input});
  ASSERT_EQ(found.scans.size(), 1U);
  EXPECT_FALSE(found.scans[0].analysed());
  EXPECT_EQ(found.scans[0].verdict, QualityVerdict::rescan);
  EXPECT_FALSE(found.scans[0].reasons.empty());
  EXPECT_TRUE(found.targets.empty());
  EXPECT_TRUE(found.streaks.empty());
  EXPECT_FALSE(found.unchecked.empty());
}

TEST(Scans, AnotherChartIsNotTakenForTheOneGiven) {
  Chart other = bench_chart();
  other.name = "other";
  other.patches = {{{"yellow"}, {10, 40}, {10, 55}, 1},
                   {{"cyan"}, {50, 80}, {10, 30}, 1},
                   {{"magenta"}, {20, 95}, {70, 110}, 1}};
  const ScanInput input{"page.png", testing::raster_of(bench_machine(), other, {}, {}, noisy_scan(1))};
  const Findings found = find(bench_machine(), {input});
  EXPECT_FALSE(found.scans[0].analysed());
  EXPECT_EQ(found.scans[0].verdict, QualityVerdict::rescan);
  EXPECT_TRUE(any_reason_says(found.scans[0], "bench bands"));
  EXPECT_TRUE(found.streaks.empty());
}

ScanInput without_resolution(const ScanOptions& scan) {
  const Layout layout = two_way_machine();
  auto raster = testing::raster_of(layout, bench_chart(),
                                   only(residue_at(layout, 0, Side::right, 1.5, 0.8, 0.5)), {}, scan);
  raster.tag_dpi_across = raster.tag_dpi_along = 0;
  return {"page.png", raster};
}

TEST(Scans, AResolutionThatIsMissingComesFromTheChart) {
  const Findings found = find(two_way_machine(), {without_resolution(noisy_scan(4))});
  ASSERT_TRUE(found.scans[0].analysed());
  EXPECT_EQ(found.scans[0].registration->dpi_source, "chart");
  EXPECT_NEAR(found.scans[0].registration->dpi, 300, 3);
  EXPECT_EQ(found.scans[0].verdict, QualityVerdict::limited);
  ASSERT_FALSE(found.targets.empty());
  EXPECT_EQ(found.targets[0].head, "1");
  EXPECT_EQ(found.targets[0].side, Side::right);
}

TEST(Scans, AResolutionThatIsMissingWithoutAChartIsAskedFor) {
  const ScanInput input = without_resolution(noisy_scan(4));
  const Findings refused = locate(two_way_machine(), nullptr, {input}, {}).findings;
  EXPECT_FALSE(refused.scans[0].analysed());
  EXPECT_TRUE(any_reason_says(refused.scans[0], "--dpi"));
  LocateOptions options;
  options.dpi = 300;
  const Findings told = locate(two_way_machine(), nullptr, {input}, options).findings;
  ASSERT_TRUE(told.scans[0].analysed());
  EXPECT_EQ(told.scans[0].registration->dpi_source, "option");
}

TEST(Scans, HandedOverForGoodAreAnsweredAlike) {
  const Chart chart = bench_chart();
  const Layout layout = bench_machine();
  const Causes causes = only(residue_at(layout, 0, Side::right, 1.5, 0.8, 0.5));
  std::vector<ScanInput> scans{scanned(layout, causes, noisy_scan(1))};
  for (const bool shown : {false, true}) {
    LocateOptions options;
    options.thumbnails = options.evidence = shown;
    const LocateResult kept = locate(layout, &chart, scans, options);
    const LocateResult given = locate(layout, &chart, std::vector<ScanInput>(scans), options);
    ASSERT_FALSE(kept.findings.targets.empty());
    ASSERT_EQ(given.findings.targets.size(), kept.findings.targets.size());
    EXPECT_EQ(given.findings.targets[0].probability, kept.findings.targets[0].probability);
    ASSERT_EQ(given.thumbnails[0].has_value(), shown);
    if (!shown) continue;
    EXPECT_EQ(given.thumbnails[0]->rgb, kept.thumbnails[0]->rgb);
    ASSERT_TRUE(given.evidence.at(0).crop && kept.evidence.at(0).crop);
    EXPECT_EQ(given.evidence[0].crop->picture.rgb, kept.evidence[0].crop->picture.rgb);
  }
}

TEST(Scans, ThumbnailsComeWhenAskedForAndOnlyOfPagesAnalysed) {
  const Chart chart = bench_chart();
  const ScanInput good = scanned(bench_machine(), {}, noisy_scan(1));
  const ScanInput bad{"torn.png", Problem{"torn.png", 0, 0, "ends in the middle"}};
  LocateOptions options;
  EXPECT_FALSE(locate(bench_machine(), &chart, {good}, options).thumbnails[0].has_value());
  options.thumbnails = true;
  const auto result = locate(bench_machine(), &chart, {bad, good}, options);
  ASSERT_EQ(result.thumbnails.size(), 2U);
  EXPECT_FALSE(result.thumbnails[0].has_value());
  ASSERT_TRUE(result.thumbnails[1].has_value());
  const Thumbnail& small = *result.thumbnails[1];
  EXPECT_NEAR(small.width_mm, chart.sheet_mm[0], 0.2);
  EXPECT_NEAR(small.height_mm, chart.sheet_mm[1], 0.2);
  // The middle of the cyan band: little red light, much green and blue.
  const auto at = [&](double x_mm, double y_mm, std::size_t channel) {
    const auto i = static_cast<std::size_t>((x_mm - small.left_mm) / small.width_mm * small.width_px);
    const auto j = static_cast<std::size_t>((y_mm - small.top_mm) / small.height_mm * small.height_px);
    return static_cast<int>(small.rgb[(j * static_cast<std::size_t>(small.width_px) + i) * 3 + channel]);
  };
  EXPECT_LT(at(50, 20, 0), 100);
  EXPECT_GT(at(50, 20, 2), 180);
  EXPECT_GT(at(50, 4, 0), 220);  // paper
}

}  // namespace
}  // namespace scrapetrace
