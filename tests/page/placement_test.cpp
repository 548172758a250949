// Placement on a known chart, against where the press put the sheet.

#include <gtest/gtest.h>

#include <cmath>
#include <ostream>

#include "page/placed.h"

namespace scrapetrace::page {
namespace {

using testing::bench_chart;
using testing::bench_machine;
using testing::lies_across;
using testing::noisy_scan;
using testing::place_page;
using testing::Placed;
using testing::raster_of;
using testing::true_map;

struct Error {
  double x_mm = 0;  // largest over a grid of points, absolute
  double y_mm = 0;
  double standardised = 0;  // x over its own sigma, floor of a quarter column included
};

// Sheet coordinates read from the raster at the places where the press put a grid of sheet points.
Error error_of(const Placed& placed, const RasterFromSheet& truth, const Layout& layout, const Chart& chart) {
  Error error;
  const auto& read = placed.refined.sheet_from_raster;
  for (double x = 0; x <= chart.sheet_mm[0]; x += chart.sheet_mm[0] / 8) {
    for (double y = 0; y <= chart.sheet_mm[1]; y += chart.sheet_mm[1] / 8) {
      const double u = truth.u(x, y);
      const double v = truth.v(x, y);
      const double dx = std::abs(read.x(u, v) - x);
      error.x_mm = std::max(error.x_mm, dx);
      error.y_mm = std::max(error.y_mm, std::abs(read.y(u, v) - y));
      const double sigma = std::hypot(0.25 * layout.px_mm(), read.x_sigma(u, v));
      error.standardised = std::max(error.standardised, dx / sigma);
    }
  }
  return error;
}

// With both sides of the bands in view. Across, edges are known to where the press rounds them to columns;
// along, only to a raster row and by blocks of rows.
constexpr double kAcross_mm = 0.01;
constexpr double kAlong_mm = 0.08;

struct Case {
  double dpi, skew_deg, stretch_x, stretch_y, shift_mm;
  int turn_deg;
  bool scan_mirrored;
  bool mirrored_layout;
};
void PrintTo(const Case& c, std::ostream* out) {
  *out << c.dpi << " dpi skew " << c.skew_deg << " stretch " << c.stretch_x << " " << c.stretch_y << " shift "
       << c.shift_mm << " turned by " << c.turn_deg << (c.scan_mirrored ? " mirrored scan" : "")
       << (c.mirrored_layout ? " mirrored layout" : "");
}

class Placement : public ::testing::TestWithParam<Case> {};

TEST_P(Placement, FindsTheSheetWhereThePressPutIt) {
  const Case k = GetParam();
  PrintOptions print;
  print.stretch_x = k.stretch_x;
  print.stretch_y = k.stretch_y;
  print.shift_x_mm = k.shift_mm;
  print.shift_y_mm = -k.shift_mm;
  ScanOptions scan = noisy_scan(7, k.dpi);
  scan.skew_deg = k.skew_deg;
  scan.turn_deg = k.turn_deg;
  scan.face_mirrored = k.scan_mirrored;
  const Layout layout = bench_machine(k.mirrored_layout);
  const auto raster = raster_of(layout, bench_chart(), {}, print, scan);
  const auto placed = place_page(raster, layout, bench_chart());
  ASSERT_TRUE(placed);
  EXPECT_GT(placed->coarse.agreement, 0.9);
  EXPECT_GT(placed->coarse.probability, 0.999);  // the mark in one corner decides
  const auto found = raster_from_sheet(placed->refined.sheet_from_raster);
  const auto orientation = orientation_of(found, raster.transposed);
  EXPECT_EQ(orientation.turn_deg, (360 - k.turn_deg) % 360);
  EXPECT_EQ(orientation.face_mirrored, k.scan_mirrored);
  EXPECT_NEAR(orientation.skew_deg, k.scan_mirrored ? -k.skew_deg : k.skew_deg, 0.01);
  const auto error = error_of(*placed, true_map(bench_chart(), print, scan), layout, bench_chart());
  EXPECT_LT(error.x_mm, kAcross_mm);
  EXPECT_LT(error.y_mm, kAlong_mm);
  EXPECT_LT(placed->refined.residual_mm, 0.02);
  EXPECT_GE(placed->refined.marks, 200);
}

INSTANTIATE_TEST_SUITE_P(
    Page, Placement,
    ::testing::Values(
        Case{300, 0, 1, 1, 0, 0, false, false}, Case{300, 0.9, 1.002, 0.998, 1.5, 0, false, true},
        Case{400, -1, 0.996, 1.003, -2, 0, false, false}, Case{600, 0.4, 1.001, 1, 0.7, 0, false, true},
        Case{600, -0.7, 1.003, 0.999, -1, 180, false, false}, Case{300, 0.3, 1, 1, 1, 90, false, false},
        Case{300, -0.8, 1, 1, 0, 180, false, true}, Case{300, 1, 1.001, 1, -1, 270, false, true},
        Case{300, 0.5, 1, 1, 0, 0, true, false}, Case{300, -0.4, 1, 1, 0, 90, true, true},
        Case{300, 0.2, 1, 1, 0, 180, true, false}, Case{300, -0.1, 1, 1, 1, 270, true, false}));

TEST(PlacementScale, IsFoundFromTheChartWhenNoResolutionIsKnown) {
  for (const double dpi : {230.0, 300.0, 437.0}) {
    ScanOptions scan = noisy_scan(11, dpi);
    scan.skew_deg = 0.6;
    const auto raster = raster_of(bench_machine(), bench_chart(), {}, {}, scan);
    const auto placed = place_page(raster, bench_machine(), bench_chart(), false);
    ASSERT_TRUE(placed);
    const auto error = error_of(*placed, true_map(bench_chart(), {}, scan), bench_machine(), bench_chart());
    EXPECT_LT(error.x_mm, kAcross_mm) << dpi;
    EXPECT_LT(error.y_mm, kAlong_mm) << dpi;
  }
}

// The scan shows the sheet less a margin all round: the bands' sides stand 8 mm inside.
TEST(PlacementCropped, WorksWithinASheetWhoseEdgesAreCutOff) {
  ScanOptions scan = noisy_scan(5);
  scan.margin_mm = -5;
  scan.skew_deg = -0.5;
  const auto raster = raster_of(bench_machine(), bench_chart(), {}, {}, scan);
  const auto placed = place_page(raster, bench_machine(), bench_chart());
  ASSERT_TRUE(placed);
  const auto error = error_of(*placed, true_map(bench_chart(), {}, scan), bench_machine(), bench_chart());
  EXPECT_LT(error.x_mm, kAcross_mm);
}

// Columns of a scan cut off on one side, as when a sheet overhangs the glass.
PageRaster without_right_side(const PageRaster& whole, int width_px) {
  PageRaster cut = whole;
  cut.width_px = width_px;
  cut.linear.own().clear();
  for (int b = 0; b < whole.blocks(); ++b) {
    for (int c = 0; c < 3; ++c)
      cut.linear.own().insert(cut.linear.own().end(), whole.row(b, c), whole.row(b, c) + width_px);
  }
  return cut;
}

// Only one side of the bands is seen: the scale across then rests on the nominal one, known to 0.3 %, and the
// sigma has to say so. Four sigma is one false alarm in 16000.
constexpr double kHonest = 4;

TEST(PlacementCropped, SigmaIsHonestWhenOneSideOnlyIsSeen) {
  for (const double stretch : {0.998, 1.0, 1.003}) {
    PrintOptions print;
    print.stretch_x = stretch;
    ScanOptions scan = noisy_scan(17);
    scan.skew_deg = 0.4;
    const auto whole = raster_of(bench_machine(), bench_chart(), {}, print, scan);
    const auto raster = without_right_side(whole, 1000);
    const auto placed = place_page(raster, bench_machine(), bench_chart());
    ASSERT_TRUE(placed);
    const auto error =
        error_of(*placed, true_map(bench_chart(), print, scan), bench_machine(), bench_chart());
    EXPECT_LT(error.standardised, kHonest) << stretch;
    EXPECT_LT(error.x_mm, 0.5) << stretch;
    EXPECT_GT(placed->coarse.agreement, 0.9) << stretch;  // a tenth of the print is hidden
    const auto both = place_page(whole, bench_machine(), bench_chart());
    ASSERT_TRUE(both);
    const double far_u = whole.width_px;
    EXPECT_GT(placed->refined.sheet_from_raster.x_sigma(far_u, 700),
              10 * both->refined.sheet_from_raster.x_sigma(far_u, 700));
  }
}

TEST(PlacementSigma, IsHonestOverManyPages) {
  double squares = 0;
  int pages = 0;
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    PrintOptions print;
    print.machine_seed = seed;
    print.shift_x_mm = 0.013 * static_cast<double>(seed);
    print.stretch_x = 1 + 0.0003 * static_cast<double>(seed);
    ScanOptions scan = noisy_scan(seed);
    scan.skew_deg = 0.17 * static_cast<double>(seed) - 1;
    const auto raster = raster_of(bench_machine(), bench_chart(), {}, print, scan);
    const auto placed = place_page(raster, bench_machine(), bench_chart());
    ASSERT_TRUE(placed);
    const auto truth = true_map(bench_chart(), print, scan);
    const auto error = error_of(*placed, truth, bench_machine(), bench_chart());
    EXPECT_LT(error.standardised, kHonest) << seed;
    const double middle = placed->refined.sheet_from_raster.x(truth.u(50, 60), truth.v(50, 60)) - 50;
    squares += std::pow(middle / placed->refined.x_sigma_mm, 2);
    ++pages;
  }
  EXPECT_LT(std::sqrt(squares / pages), 1.5);
}

TEST(PlacementAgreement, IsLowOnAnotherChart) {
  Chart other = bench_chart();
  other.patches = {{{"yellow"}, {30, 50}, {5, 115}, 1},
                   {{"magenta"}, {55, 60}, {5, 115}, 1},
                   {{"cyan"}, {70, 95}, {60, 115}, 1}};
  const auto raster = raster_of(bench_machine(), bench_chart(), {}, {}, noisy_scan(1));
  const auto wrong = place_page(raster, bench_machine(), other);
  ASSERT_TRUE(wrong);
  EXPECT_LT(wrong->coarse.agreement, 0.6);
  const auto right = place_page(raster, bench_machine(), bench_chart());
  ASSERT_TRUE(right);
  EXPECT_GT(right->coarse.agreement, 0.9);
}

TEST(PlacementGrey, WorksOnGreyScans) {
  ScanOptions scan = noisy_scan(4);
  scan.grey = true;
  scan.skew_deg = 0.8;
  const auto raster = raster_of(bench_machine(), bench_chart(), {}, {}, scan);
  ASSERT_TRUE(raster.grey);
  const auto placed = place_page(raster, bench_machine(), bench_chart());
  ASSERT_TRUE(placed);
  const auto error = error_of(*placed, true_map(bench_chart(), {}, scan), bench_machine(), bench_chart());
  EXPECT_LT(error.x_mm, kAcross_mm);
}

// The pixel's box adds 1/12 px^2 to the square of the scanner's point spread; the estimate counts in quarter
// pixels and the mean edge is spread a little by what is left of rounding.
constexpr double kBlurError_px = 0.1;

TEST(PlacementBlur, IsTheScannersWithThePixelsOwn) {
  for (const double blur_px : {0.4, 0.85, 1.5, 2.5}) {
    ScanOptions scan = noisy_scan(9);
    scan.blur_px = blur_px;
    scan.skew_deg = 0.4;
    const auto raster = raster_of(bench_machine(), bench_chart(), {}, {}, scan);
    const auto placed = place_page(raster, bench_machine(), bench_chart());
    ASSERT_TRUE(placed);
    EXPECT_NEAR(placed->refined.blur_px, testing::seen_blur_px(scan), kBlurError_px) << blur_px;
  }
}

// To the last bit, with a side that a streak touches.
TEST(Placement, IsTheSameOnAnyNumberOfThreads) {
  Causes causes;
  causes.scratches = {{17.5, 1.5, 0.9, {}}};
  ScanOptions scan = noisy_scan(5);
  scan.skew_deg = 0.6;
  const auto raster = raster_of(bench_machine(), bench_chart(), causes, {}, scan);
  const auto one = place_page(raster, bench_machine(), bench_chart(), true, 1);
  ASSERT_TRUE(one);
  EXPECT_TRUE(one->refined.side_touched);
  for (const int threads : {2, 5}) {
    const auto several = place_page(raster, bench_machine(), bench_chart(), true, threads);
    ASSERT_TRUE(several) << threads;
    EXPECT_EQ(several->coarse.agreement, one->coarse.agreement);
    EXPECT_EQ(several->coarse.map.u0, one->coarse.map.u0);
    EXPECT_EQ(several->coarse.map.vx, one->coarse.map.vx);
    EXPECT_EQ(several->refined.sheet_from_raster.p, one->refined.sheet_from_raster.p);
    EXPECT_EQ(several->refined.sheet_from_raster.q, one->refined.sheet_from_raster.q);
    EXPECT_EQ(several->refined.touched_sides, one->refined.touched_sides);
    EXPECT_EQ(several->refined.patch_blur_px, one->refined.patch_blur_px);
  }
}

}  // namespace
}  // namespace scrapetrace::page
