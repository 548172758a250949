// The maps between sheet and raster, the coarse picture, and where the press puts a patch's edges.

#include <gtest/gtest.h>

#include <cmath>
#include <ostream>
#include <random>

#include "geometry/column_map.h"
#include "geometry/frames.h"
#include "page/as_printed.h"
#include "page/coarse_map.h"
#include "page/expected_colour.h"
#include "page/placement.h"
#include "page/printed_chart.h"
#include "support/raster_of.h"

namespace scrapetrace::page {
namespace {

constexpr double kRounding_mm = 1e-9;

RasterFromSheet some_map(int i) {
  std::mt19937_64 random(static_cast<unsigned>(i));
  std::uniform_real_distribution<double> angle(-0.05, 0.05);
  std::uniform_real_distribution<double> px_per_mm(8, 30);
  return make_raster_from_sheet(px_per_mm(random), px_per_mm(random), i % 2 == 1, i % 4 > 1, angle(random),
                                {1000.0 + i, 1500.0 - i}, {50, 60});
}

TEST(RasterFromSheet, InverseRoundTrips) {
  for (int i = 0; i < 16; ++i) {
    const auto map = some_map(i);
    const auto inverse = sheet_from_raster(map);
    const auto again = raster_from_sheet(inverse);
    for (double x : {-3.0, 0.0, 57.25, 320.0}) {
      for (double y : {-1.0, 0.5, 450.0}) {
        const double u = map.u(x, y);
        const double v = map.v(x, y);
        EXPECT_NEAR(map.sheet(u, v)[0], x, kRounding_mm);
        EXPECT_NEAR(map.sheet(u, v)[1], y, kRounding_mm);
        EXPECT_NEAR(inverse.x(u, v), x, kRounding_mm);
        EXPECT_NEAR(inverse.y(u, v), y, kRounding_mm);
        EXPECT_NEAR(again.u(x, y), u, 1e-7);
        EXPECT_NEAR(again.v(x, y), v, 1e-7);
      }
    }
  }
}

TEST(RasterFromSheet, PutsTheGivenCentreInPlace) {
  for (int i = 0; i < 4; ++i) {
    const auto map = some_map(i);
    EXPECT_NEAR(map.u(50, 60), 1000 + i, 1e-9);
    EXPECT_NEAR(map.v(50, 60), 1500 - i, 1e-9);
    EXPECT_EQ(map.ux < 0, i % 2 == 1);
    EXPECT_EQ(map.vy<0, i % 4> 1);
  }
}

// Propagated by hand: x = p . (1, u, v).
TEST(SheetFromRaster, SigmaIsThatOfTheCovariance) {
  SheetFromRaster map;
  map.p_covariance << 4, 0.1, 0, 0.1, 0.01, 0, 0, 0, 0.0025;
  EXPECT_NEAR(map.x_sigma(0, 0), 2, 1e-12);
  EXPECT_NEAR(map.x_sigma(10, 20), std::sqrt(4 + 2 * 0.1 * 10 + 0.01 * 100 + 0.0025 * 400), 1e-12);
}

struct Lie {
  int turn_deg;
  bool mirrored;
  double skew_deg;
};
void PrintTo(const Lie& lie, std::ostream* out) {
  *out << "turned by " << lie.turn_deg << (lie.mirrored ? " mirrored" : "") << " skew " << lie.skew_deg;
}

class OrientationOf : public ::testing::TestWithParam<Lie> {};

// The way back: the press mirrors, then turns clockwise by t; the turn that undoes it is 360 - t.
TEST_P(OrientationOf, UndoesWhatThePressDid) {
  ScanOptions scan = testing::quiet_scan();
  scan.turn_deg = GetParam().turn_deg;
  scan.face_mirrored = GetParam().mirrored;
  scan.skew_deg = GetParam().skew_deg;
  const auto map = testing::true_map(testing::bench_chart(), {}, scan);
  const auto seen = orientation_of(map, testing::lies_across(scan));
  EXPECT_EQ(seen.turn_deg, (360 - scan.turn_deg) % 360);
  EXPECT_EQ(seen.face_mirrored, scan.face_mirrored);
  // A mirror image leans the other way.
  EXPECT_NEAR(seen.skew_deg, scan.face_mirrored ? -scan.skew_deg : scan.skew_deg, 1e-9);
}

INSTANTIATE_TEST_SUITE_P(Page, OrientationOf,
                         ::testing::Values(Lie{0, false, 0.7}, Lie{90, false, -1.2}, Lie{180, false, 2},
                                           Lie{270, false, -0.3}, Lie{0, true, 0.7}, Lie{90, true, -1.2},
                                           Lie{180, true, 2}, Lie{270, true, 0.4}));

TEST(CoarseMap, CellsAreMeansOfWholeBlocksAndPixels) {
  PageRaster raster;
  raster.width_px = 23;
  raster.height_px = 50;
  raster.rows_per_block = 4;
  std::mt19937 random(3);
  raster.linear.own().resize(static_cast<std::size_t>(raster.blocks() * 3 * raster.width_px));
  for (auto& value : raster.linear.own()) value = static_cast<std::uint16_t>(random());
  const auto map = make_coarse_map(raster, 7.6);
  ASSERT_EQ(map.width, 2);
  ASSERT_EQ(map.height, 6);
  EXPECT_EQ(map.px_per_cell_u, 8);
  EXPECT_EQ(map.px_per_cell_v, 8);
  for (int j = 0; j < map.height; ++j) {
    for (int i = 0; i < map.width; ++i) {
      for (int c = 0; c < 3; ++c) {
        double sum = 0;
        for (int b = 2 * j; b < 2 * j + 2; ++b) {
          for (int u = 8 * i; u < 8 * i + 8; ++u) sum += raster.row(b, c)[u];
        }
        EXPECT_NEAR(map.at(i, j)[static_cast<std::size_t>(c)], sum / 16 / 65535, 1e-6);
      }
    }
  }
}

// Every column printed in the patch, asked one by one; offsets shift what their carriage lays.
TEST(PrintedRange, IsThatOfTheColumnsWhoseCentresLieInThePatch) {
  for (const bool mirrored : {false, true}) {
    Layout layout = testing::bench_machine(mirrored);
    layout.transfer.scale_cross = 1.003;
    layout.carriages[1].offset_mm = 0.041;
    const geometry::ColumnMap columns(layout);
    const geometry::SheetFromDrum sheet_from_drum(layout);
    for (const auto& x_mm :
         {std::array{8.0, 92.0}, {8.03, 8.07}, {40.0, 60.01}, {-20.0, 200.0}, {70.02, 70.6}}) {
      double low = 1e9;
      double high = -1e9;
      for (int c = 0; c < columns.columns(); ++c) {
        if (columns.owner(c).nobody()) continue;
        const double offset = columns.owner(c).head == 1 ? 0.041 : 0;
        const double from = sheet_from_drum.sheet_x(c * 0.0635 + offset);
        const double to = sheet_from_drum.sheet_x((c + 1) * 0.0635 + offset);
        if ((from + to) / 2 < x_mm[0] || (from + to) / 2 >= x_mm[1]) continue;
        low = std::min({low, from, to});
        high = std::max({high, from, to});
      }
      const auto range = printed_x_range(layout, {{"cyan"}, x_mm, {0, 10}, 1});
      if (low > high) {
        EXPECT_GT(range[0], range[1]);
        continue;
      }
      EXPECT_NEAR(range[0], low, kRounding_mm) << x_mm[0];
      EXPECT_NEAR(range[1], high, kRounding_mm) << x_mm[1];
    }
  }
}

// The columns' ends by hand: the bench machine's heads are at 400 to the inch.
TEST(AsPrinted, PatchesEndWhereTheLastHeadsInkEnds) {
  const Layout layout = testing::bench_machine();
  const geometry::ColumnMap columns(layout);
  const double low = columns.printed().first * 0.0635;
  const double high = (columns.printed().last + 1) * 0.0635;
  Chart chart = testing::bench_chart();
  chart.patches = {
      {{"cyan"}, {-20, 40}, {10, 30}, 1}, {{"cyan"}, {40, 200}, {40, 60}, 1}, {{}, {0, 300}, {70, 80}, 1}};
  const Chart printed = as_printed(layout, chart);
  ASSERT_EQ(printed.patches.size(), 3U);
  const double left = geometry::SheetFromDrum(layout).sheet_x(0);
  EXPECT_NEAR(printed.patches[0].x_mm[0], left + low, kRounding_mm);
  EXPECT_EQ(printed.patches[0].x_mm[1], 40);
  EXPECT_EQ(printed.patches[1].x_mm[0], 40);
  EXPECT_NEAR(printed.patches[1].x_mm[1], left + high, kRounding_mm);
  EXPECT_EQ(printed.patches[2].x_mm[1], 300) << "bare of ink: not the machine's to shorten";
}

TEST(AsPrinted, ALeftOutPatchNeedsAnotherThatIsPrinted) {
  Chart chart = testing::bench_chart();
  chart.patches = {{{"cyan"}, {8, 92}, {10, 30}, 1}, {{"cyan"}, {150, 180}, {40, 60}, 1}};
  EXPECT_EQ(as_printed(testing::bench_machine(), chart).patches.size(), 1U);
  chart.patches.erase(chart.patches.begin());
  EXPECT_EQ(as_printed(testing::bench_machine(), chart).patches.size(), 1U)
      << "another machine's chart stays whole";
}

// Murray-Davies by hand: 1 - a + a 10^-D. Luminance weights of IEC 61966-2-1.
TEST(ExpectedColour, AddsDensitiesAndMixesByArea) {
  const Layout layout = testing::bench_machine();
  const auto both = solid_density(layout, {"cyan", "magenta"}, false);
  EXPECT_NEAR(both[0], 1.26, 1e-12);
  EXPECT_NEAR(both[1], 1.47, 1e-12);
  EXPECT_NEAR(both[2], 0.54, 1e-12);
  EXPECT_NEAR(patch_linear(layout, {{"yellow"}, {}, {}, 0.5}, false)[2], 0.5 + 0.5 * std::pow(10, -0.95),
              1e-12);
  const double grey =
      0.2126 * std::pow(10, -1.26) + 0.7152 * std::pow(10, -1.47) + 0.0722 * std::pow(10, -0.54);
  for (const double value : patch_linear(layout, {{"cyan", "magenta"}, {}, {}, 1}, true)) {
    EXPECT_NEAR(value, grey, 1e-12);
  }
}

TEST(ExpectedColour, ChartImageKnowsPatchPaperAndBeyond) {
  const ChartImage image(testing::bench_chart());
  EXPECT_EQ(image.patch_at(8.2, 10.2), 0);
  EXPECT_EQ(image.patch_at(91.8, 53.9), 1);
  EXPECT_EQ(image.patch_at(17.8, 113.8), 4);
  EXPECT_EQ(image.patch_at(18.2, 113.8), -1);
  EXPECT_EQ(image.patch_at(50, 32), -1);
  EXPECT_EQ(image.patch_at(-0.1, 50), -2);
  EXPECT_EQ(image.patch_at(50, 120.1), -2);
  // Rows are told apart where a patch begins or ends, and there alone.
  EXPECT_EQ(image.row_at(10.2), image.row_at(20));
  EXPECT_NE(image.row_at(10.2), image.row_at(32));
  EXPECT_EQ(image.row_at(-0.1), -1);
}

}  // namespace
}  // namespace scrapetrace::page
