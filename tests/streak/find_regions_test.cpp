// Regions of printed pages: found where the press put a streak, none where it put none.

#include "streak/find_regions.h"

#include <gtest/gtest.h>

#include <cmath>

#include "geometry/column_map.h"
#include "support/raster_of.h"

namespace scrapetrace::streak {
namespace {

using testing::bench_chart;
using testing::bench_machine;
using testing::noisy_scan;
using testing::raster_of;
using testing::true_placement;

std::vector<Region> regions_of(const Causes& causes, const PrintOptions& print, const ScanOptions& scan,
                               double rate = 0.01, const Layout& layout = bench_machine(true),
                               const std::vector<Interval>& known_mm = {}) {
  const auto raster = raster_of(layout, bench_chart(), causes, print, scan);
  const auto strips =
      profile::extract_strips(raster, true_placement(bench_chart(), print, scan), layout, {}, {});
  const auto views = profile::make_ink_views(strips, bench_chart(), layout, raster.grey, {});
  RegionOptions options;
  options.false_alarm_rate = rate;
  return find_regions(strips, views, known_mm, options);
}

bool covers(const Region& r, double from_mm, double to_mm) {
  return r.x_mm.from_mm < to_mm && from_mm < r.x_mm.to_mm;
}

TEST(Regions, MergeWhenTheyOverlapOrNearlyTouch) {
  const auto merged = merge_regions({{{5, 6}, 7, true, false},
                                     {{1, 2}, 9, true, false},
                                     {{2.4, 3}, 12, false, true},
                                     {{1.2, 1.4}, 6, true, false},
                                     {{3.7, 4}, 6, true, false}},
                                    0.5);
  ASSERT_EQ(merged.size(), 3U);
  EXPECT_EQ(merged[0].x_mm.from_mm, 1);
  EXPECT_EQ(merged[0].x_mm.to_mm, 3);
  EXPECT_EQ(merged[0].z, 12);
  EXPECT_TRUE(merged[0].ink_lost);
  EXPECT_TRUE(merged[0].ink_added);
  EXPECT_EQ(merged[1].x_mm.from_mm, 3.7);
  EXPECT_FALSE(merged[1].ink_added);
  EXPECT_EQ(merged[2].x_mm.from_mm, 5);
  EXPECT_TRUE(merge_regions({}, 1).empty());
}

// Twenty clean pages at one false region in a hundred: two regions among them would be a chance of 0.018.
TEST(Regions, OfCleanPagesAreAsRareAsAsked) {
  std::size_t found = 0;
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    PrintOptions print;
    print.machine_seed = 100 + seed;
    ScanOptions scan = noisy_scan(seed);
    scan.skew_deg = 0.1 * static_cast<double>(seed) - 1;
    found += regions_of({}, print, scan).size();
  }
  EXPECT_LE(found, 1U);
}

TEST(Regions, AreWhereResidueScraped) {
  Causes causes;
  Residue residue;
  residue.carriage = 1;
  residue.x_mm = 40;
  residue.width_mm = 0.5;
  residue.loss = 0.3;
  causes.residues = {residue};
  for (std::uint64_t seed = 1; seed <= 5; ++seed) {
    const auto found = regions_of(causes, {}, noisy_scan(seed));
    ASSERT_EQ(found.size(), 1U) << seed;
    EXPECT_TRUE(found[0].ink_lost);
    EXPECT_FALSE(found[0].ink_added);
    // The residue rides 12 columns: 0.76 mm; what it touches once only may be too faint to be seen.
    EXPECT_GT(found[0].x_mm.from_mm, 39.7);
    EXPECT_LT(found[0].x_mm.to_mm, 41.6);
    EXPECT_GT(found[0].x_mm.to_mm - found[0].x_mm.from_mm, 0.4);
    EXPECT_GT(found[0].z, 6);
  }
}

TEST(Regions, TellAddedInkFromLostInk) {
  Causes causes;
  causes.hazes = {{70, 4, 0.06, {}}};
  causes.scratches = {{30, 0.8, 0.4, {}}};
  const auto found = regions_of(causes, {}, noisy_scan(3));
  bool scratch = false;
  bool haze = false;
  for (const Region& r : found) {
    if (covers(r, 30, 30.8)) scratch = r.ink_lost && !r.ink_added;
    if (covers(r, 69, 71)) haze = r.ink_added;
    EXPECT_TRUE(covers(r, 30, 30.8) || covers(r, 64, 76)) << r.x_mm.from_mm << " to " << r.x_mm.to_mm;
  }
  EXPECT_TRUE(scratch);
  EXPECT_TRUE(haze);
}

// One dead jet of one ink out of three.
TEST(Regions, FindADeadJetOfOneInk) {
  Causes causes;
  causes.jets = {{1, 1, 80, 1}};
  const auto found = regions_of(causes, {}, noisy_scan(2, 400));
  ASSERT_EQ(found.size(), 1U);
  EXPECT_TRUE(covers(found[0], (960 + 400) * 0.0635, (960 + 400 + 13) * 0.0635));
}

// The second carriage stands off by 0.15 mm: a white gap at the seam, which the layout knows of. A streak
// elsewhere is found all the same.
TEST(Regions, LeaveOutStepsThatTheLayoutKnows) {
  Layout layout = bench_machine(true);
  layout.carriages[1].offset_mm = 0.15;
  const geometry::ColumnMap map(layout);
  ASSERT_EQ(map.seams().size(), 1U);
  const double seam_mm = (map.seams()[0].seam + 1) * layout.px_mm();
  const Interval known{seam_mm - 0.5, seam_mm + 0.65};
  const auto without = regions_of({}, {}, noisy_scan(4), 0.01, layout);
  ASSERT_EQ(without.size(), 1U);
  EXPECT_TRUE(covers(without[0], known.from_mm, known.to_mm));
  EXPECT_TRUE(regions_of({}, {}, noisy_scan(4), 0.01, layout, {known}).empty());
  Causes causes;
  causes.scratches = {{85, 0.8, 0.5, {}}};
  const auto streak = regions_of(causes, {}, noisy_scan(4), 0.01, layout, {known});
  ASSERT_EQ(streak.size(), 1U);
  EXPECT_TRUE(covers(streak[0], 85, 85.8));
}

TEST(Regions, AreFewerTheLowerTheRate) {
  Causes causes;
  for (int k = 0; k < 8; ++k) causes.scratches.push_back({20.0 + 10 * k, 0.5, 0.03 * (k + 1), {}});
  const auto strict = regions_of(causes, {}, noisy_scan(6), 1e-6);
  const auto loose = regions_of(causes, {}, noisy_scan(6), 0.3);
  EXPECT_GE(strict.size(), 2U);
  EXPECT_GE(loose.size(), strict.size());
  EXPECT_LE(loose.size(), 10U);
}

}  // namespace
}  // namespace scrapetrace::streak
