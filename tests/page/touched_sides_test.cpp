// Sides of patches beside which ink is missing are no marks.

#include "page/touched_sides.h"

#include <gtest/gtest.h>

#include "page/edge_spread.h"
#include "page/refine_placement.h"
#include "support/raster_of.h"

namespace scrapetrace {
namespace {

using testing::bench_chart;
using testing::bench_machine;
using testing::noisy_scan;
using testing::raster_of;
using testing::true_map;

// Patches go from drum X 18 to 102 mm, sheet x 8 to 92 mm.
DrumScratch missing(double from_mm, double to_mm, double loss) {
  return {from_mm, to_mm - from_mm, loss, {}};
}

std::vector<std::array<bool, 2>> touched(const Causes& causes, const ScanOptions& scan = noisy_scan(3)) {
  const Layout layout = bench_machine();
  const Chart chart = bench_chart();
  const PageRaster raster = raster_of(layout, chart, causes, {}, scan);
  const page::RasterFromSheet map = true_map(chart, {}, scan);
  const auto found = page::measure_patch_edges(raster, layout, chart, map, {});
  return page::find_touched_sides(raster, chart, page::PrintedChart(layout, chart, raster.grey), map, found.x,
                                  page::measure_blur_px(raster, map, found.x));
}

struct Placed {
  page::RefinedMap refined;
  page::RasterFromSheet truth;
  [[nodiscard]] double error_at(double x_mm) const {
    return refined.sheet_from_raster.x(truth.u(x_mm, 60), truth.v(x_mm, 60)) - x_mm;
  }
};

Placed placed(const Causes& causes, std::optional<std::size_t> left_out = std::nullopt) {
  const Layout layout = bench_machine();
  const Chart chart = bench_chart();
  const ScanOptions scan = noisy_scan(4);
  const auto truth = true_map(chart, {}, scan);
  return {
      page::refine_placement(raster_of(layout, chart, causes, {}, scan), layout, chart, truth, {left_out}),
      truth};
}

// What a blur spreads of a side's own step is no ink that is missing.
TEST(TouchedSides, NoneIsOnABlurredSheet) {
  for (const double blur_px : {0.85, 3.0, 5.0}) {
    ScanOptions scan = noisy_scan(3);
    scan.blur_px = blur_px;
    for (const auto& sides : touched({}, scan)) {
      EXPECT_FALSE(sides[0]) << blur_px;
      EXPECT_FALSE(sides[1]) << blur_px;
    }
  }
}

TEST(TouchedSides, AreTheOnesThatAStreakTouches) {
  Causes causes;
  causes.scratches = {missing(100.6, 104, 0.4)};
  const auto sides = touched(causes);
  ASSERT_EQ(sides.size(), 5U);
  for (std::size_t p = 0; p < 4; ++p) {
    EXPECT_FALSE(sides[p][0]) << p;
    EXPECT_TRUE(sides[p][1]) << p;
  }
  EXPECT_FALSE(sides[4][1]) << "the corner's patch ends elsewhere";
}

// A streak that took most of the ink: its inner border passes for the side, what it left lies outside.
TEST(TouchedSides, AreFoundWhereTheStreaksOwnBorderPassesForTheSide) {
  Causes causes;
  causes.scratches = {missing(101.2, 104, 0.8)};
  const auto sides = touched(causes);
  for (std::size_t p = 0; p < 4; ++p) {
    EXPECT_FALSE(sides[p][0]) << p;
    EXPECT_TRUE(sides[p][1]) << p;
  }
  EXPECT_TRUE(placed(causes).refined.side_touched);
}

TEST(TouchedSides, AreNoneOnACleanPageNorBesideAStreakFartherIn) {
  Causes farther;
  farther.scratches = {missing(96, 99, 0.6)};
  for (const Causes& causes : {Causes{}, farther}) {
    for (const auto& sides : touched(causes)) {
      EXPECT_FALSE(sides[0]);
      EXPECT_FALSE(sides[1]);
    }
  }
}

// With ink missing at one side the other one still places the print; its scale is the nominal one.
TEST(TouchedSides, DoNotPullTheRegistration) {
  Causes causes;
  causes.scratches = {missing(100.6, 104, 0.4)};
  const Placed found = placed(causes);
  EXPECT_TRUE(found.refined.side_touched);
  EXPECT_LT(std::abs(found.error_at(8)), 0.03);
  EXPECT_LT(std::abs(found.error_at(92)), 0.06);
}

// Ink that is gone altogether leaves a clean side in the wrong place: only the width tells, and not which.
TEST(TouchedSides, APrintTooNarrowIsToldByItsWidth) {
  Causes causes;
  causes.scratches = {missing(101, 104, 1)};
  EXPECT_TRUE(placed(causes).refined.narrow);
  EXPECT_FALSE(placed(Causes{}).refined.narrow);
  const Placed by_the_left = placed(causes, 1U);
  EXPECT_TRUE(by_the_left.refined.side_touched);
  EXPECT_LT(std::abs(by_the_left.error_at(8)), 0.03);
  EXPECT_LT(std::abs(by_the_left.error_at(92)), 0.06);
  const Placed by_the_right = placed(causes, 0U);
  EXPECT_GT(std::abs(by_the_right.error_at(92)), 0.5);
}

}  // namespace
}  // namespace scrapetrace
