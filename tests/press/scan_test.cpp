// The scanner: placement, turns, coding, noise, blur.

#include <gtest/gtest.h>

#include <ostream>

#include "pages.h"
#include "press/scan_from_sheet.h"

namespace scrapetrace {
namespace {

using testing::all_over;
using testing::even_print;
using testing::kCoding_linear;
using testing::moments;
using testing::Page;
using testing::sharp_scan;
using testing::sheet_with;
using testing::small_machine;

TEST(Scan, MarginShowsTheBedAndCropHidesTheSheet) {
  ScanOptions scan = sharp_scan();
  scan.margin_mm = 2.5;
  const Page wide(small_machine(), sheet_with({}), {}, even_print(), scan);
  EXPECT_EQ(wide.image.width_px, 450);
  EXPECT_EQ(wide.image.height_px, 170);
  EXPECT_NEAR(wide.linear(24, 85, 0), 0.92, kCoding_linear);
  EXPECT_NEAR(wide.linear(25, 85, 0), 0.8, kCoding_linear);
  EXPECT_NEAR(wide.linear(424, 144, 2), 0.8, kCoding_linear);
  EXPECT_NEAR(wide.linear(424, 145, 2), 0.92, kCoding_linear);
  scan.margin_mm = -1;
  const Page cropped(small_machine(), sheet_with({}), {}, even_print(), scan);
  EXPECT_EQ(cropped.image.width_px, 380);
  EXPECT_NEAR(cropped.linear(0, 0, 0), 0.8, kCoding_linear);
}

// SRA3 at 600 dpi: 320 mm x 450 mm are 7559 x 10630 px (ISO 217 size, px = round(mm / 25.4 * dpi)).
TEST(Scan, ImageSizeIsTheSheetsInPixels) {
  ScanOptions scan;
  scan.dpi = 600;
  scan.margin_mm = 0;
  Chart chart;
  chart.sheet_mm = {320, 450};
  const auto g = press::scan_geometry(chart, {}, scan);
  EXPECT_EQ(g.width_px, 7559);
  EXPECT_EQ(g.height_px, 10630);
  scan.turn_deg = 270;
  EXPECT_EQ(press::scan_geometry(chart, {}, scan).width_px, 10630);
}

// Centroid of the ink, by density weight.
press::Point centroid(const Page& page) {
  double sum = 0, u_sum = 0, v_sum = 0;
  for (int v = 0; v < page.image.height_px; ++v) {
    for (int u = 0; u < page.image.width_px; ++u) {
      const double ink = 0.8 - page.linear(u, v, 0);
      if (ink < 1e-3) continue;
      sum += ink;
      u_sum += ink * (u + 0.5);
      v_sum += ink * (v + 0.5);
    }
  }
  return {u_sum / sum, v_sum / sum};
}

struct Placement {
  double skew, stretch, shift;
  int turn;
  bool mirrored;
  double dpi;
};
void PrintTo(const Placement& p, std::ostream* out) {
  *out << p.dpi << " dpi skew " << p.skew << " stretch " << p.stretch << " shift " << p.shift << " turned by "
       << p.turn << (p.mirrored ? " mirrored" : "");
}

class PlacementTest : public ::testing::TestWithParam<Placement> {};

// Where a small patch lies in the image against the documented map from the sheet.
TEST_P(PlacementTest, PatchLiesWhereScanFromSheetSays) {
  const Placement p = GetParam();
  PrintOptions print = even_print();
  print.stretch_x = p.stretch;
  print.stretch_y = 2 - p.stretch;
  print.shift_x_mm = p.shift;
  print.shift_y_mm = -p.shift / 2;
  ScanOptions scan = sharp_scan();
  scan.skew_deg = p.skew;
  scan.turn_deg = p.turn;
  scan.face_mirrored = p.mirrored;
  scan.dpi = p.dpi;
  scan.margin_mm = 1;
  scan.bed = 0.8;
  for (const auto& [x, y] : {std::pair{6.0, 3.0}, {33.0, 9.0}}) {
    const Chart chart = sheet_with({{{"cyan"}, {x - 1, x + 1}, {y - 0.7, y + 0.7}, 1}});
    const Page page(small_machine(), chart, {}, print, scan);
    const auto expected = press::scan_geometry(chart, print, scan).scan_from_sheet({x, y});
    const auto found = centroid(page);
    // An edge pixel of coverage c sits at its centre here: its moment errs by up to c (1 - c) / 2 <= 1/8
    // px^2.
    const double smallest_side_px = 1.4 / 25.4 * p.dpi;
    EXPECT_NEAR(found.x, expected.x, 0.125 / smallest_side_px);
    EXPECT_NEAR(found.y, expected.y, 0.125 / smallest_side_px);
  }
}

INSTANTIATE_TEST_SUITE_P(
    Scan, PlacementTest,
    ::testing::Values(Placement{0, 1, 0, 0, false, 254}, Placement{1.5, 1, 0, 0, false, 254},
                      Placement{-3, 1.004, 0.37, 0, false, 300}, Placement{0.4, 0.997, -0.21, 90, false, 600},
                      Placement{0, 1, 0, 180, false, 200}, Placement{-0.7, 1, 0.1, 270, false, 300},
                      Placement{2, 1.002, 0.3, 0, true, 300}, Placement{-1, 1, 0, 90, true, 254}));

TEST(Scan, PositiveSkewTurnsTheSheetClockwise) {
  ScanOptions scan = sharp_scan();
  scan.skew_deg = 2;
  const Page page(small_machine(), sheet_with({{{"cyan"}, {-1, 41}, {5, 7}, 1}}), {}, even_print(), scan);
  const auto first_dark_row = [&](int u) {
    for (int v = 0; v < page.image.height_px; ++v) {
      if (page.linear(u, v, 0) < 0.4) return v;
    }
    return -1;
  };
  // v points down: clockwise lowers the right end, by tan(2 deg) * 300 px.
  EXPECT_NEAR(first_dark_row(350) - first_dark_row(50), 300 * std::tan(2 * M_PI / 180), 1.01);
}

TEST(Scan, MirrorAndTurnsMoveFinishedPixels) {
  ScanOptions scan = sharp_scan();
  scan.noise = 3;  // proves that the finished image is moved, noise and all
  const Chart chart = sheet_with({{{"cyan"}, {3, 9}, {2, 4}, 1}});
  const Page plain(small_machine(), chart, {}, even_print(), scan);
  const int w = plain.image.width_px;
  const int h = plain.image.height_px;
  for (const bool mirrored : {false, true}) {
    for (const int turn : {0, 90, 180, 270}) {
      scan.face_mirrored = mirrored;
      scan.turn_deg = turn;
      const Page page(small_machine(), chart, {}, even_print(), scan);
      ASSERT_EQ(page.image.width_px, turn % 180 == 0 ? w : h);
      for (int v = 0; v < h; v += 3) {
        for (int u = 0; u < w; u += 7) {
          const int m = mirrored ? w - 1 - u : u;
          // A clockwise quarter turn takes (u, v) to (h - 1 - v, u).
          const int to_u = turn == 0 ? m : turn == 90 ? h - 1 - v : turn == 180 ? w - 1 - m : v;
          const int to_v = turn == 0 ? v : turn == 90 ? m : turn == 180 ? h - 1 - v : w - 1 - m;
          ASSERT_EQ(page.code(to_u, to_v, 1), plain.code(u, v, 1)) << mirrored << " " << turn;
        }
      }
    }
  }
}

// Luminance weights of IEC 61966-2-1: 0.2126, 0.7152, 0.0722.
TEST(Scan, GreyIsTheLuminanceOfLinearLight) {
  ScanOptions scan = sharp_scan();
  const Chart chart = sheet_with({all_over({"magenta"})});
  const Page colour(small_machine(), chart, {}, even_print(), scan);
  scan.grey = true;
  const Page grey(small_machine(), chart, {}, even_print(), scan);
  EXPECT_EQ(grey.image.channels, 1);
  const double expected =
      0.2126 * colour.linear(9, 9, 0) + 0.7152 * colour.linear(9, 9, 1) + 0.0722 * colour.linear(9, 9, 2);
  EXPECT_NEAR(grey.linear(9, 9, 0), expected, 2 * kCoding_linear);
}

// Codes and linear values of the sRGB curve, computed from IEC 61966-2-1:1999.
TEST(Scan, CodesFollowTheSrgbCurve) {
  const std::pair<int, double> table[] = {{50, 0.03189603},  {64, 0.05126946},  {100, 0.12743768},
                                          {119, 0.18447499}, {128, 0.21586050}, {160, 0.35153260},
                                          {188, 0.50288646}, {200, 0.57758044}, {224, 0.74540421},
                                          {240, 0.87136712}, {254, 0.99110210}};
  for (const auto& [code, linear] : table) {
    EXPECT_NEAR(linear_from_srgb(code / 255.0), linear, 5e-9);
    PrintOptions print = even_print();
    print.paper_white = linear;
    ScanOptions scan = sharp_scan();
    const Page deep(small_machine(), sheet_with({}), {}, print, scan);
    EXPECT_NEAR(deep.code(7, 7, 0), code * 257, 0.51);
    scan.bits = 8;
    const Page page(small_machine(), sheet_with({}), {}, print, scan);
    EXPECT_EQ(page.code(7, 7, 0), code);
  }
  EXPECT_NEAR(linear_from_srgb(1 / 255.0), 0.00030353, 5e-9);
  EXPECT_NEAR(linear_from_srgb(10 / 255.0), 0.00303527, 5e-9);
  EXPECT_NEAR(linear_from_srgb(11 / 255.0), 0.00334654, 5e-9);
}

TEST(Scan, NoiseHasTheAskedDeviationInCodes) {
  for (const int bits : {8, 16}) {
    ScanOptions scan = sharp_scan();
    scan.noise = 2;
    scan.bits = bits;
    const Page page(small_machine(), sheet_with({all_over({"cyan"}, 1)}), {}, even_print(), scan);
    std::vector<std::vector<double>> codes(3);
    for (int v = 0; v < page.image.height_px; ++v) {
      for (int u = 0; u < page.image.width_px; ++u) {
        for (std::size_t c = 0; c < 3; ++c)
          codes[c].push_back(page.code(u, v, static_cast<int>(c)) / (bits == 8 ? 1 : 257));
      }
    }
    double product = 0;
    const auto red = moments(codes[0]);
    const auto green = moments(codes[1]);
    const auto n = static_cast<double>(codes[0].size());
    for (std::size_t i = 0; i < codes[0].size(); ++i)
      product += (codes[0][i] - red.mean) * (codes[1][i] - green.mean);
    // Rounding to whole codes adds 1/12 to the variance.
    const double sd = std::sqrt(4 + (bits == 8 ? 1.0 / 12 : 0));
    EXPECT_NEAR(red.sd, sd, 4 * sd / std::sqrt(2 * n));
    EXPECT_LT(std::abs(product / n / (sd * sd)), 4 / std::sqrt(n)) << "channels share their noise";
  }
}

// The 10 to 90 % rise of an edge is 2.563103 sigma, twice the 90 % quantile of the normal distribution. Bands
// of rows shift the edge by a quarter pixel each, so that the rise is sampled finely.
TEST(Scan, EdgeRiseIsThatOfTheAskedBlur) {
  for (const double sigma : {1.5, 3.0}) {
    std::vector<std::pair<double, double>> edge;  // distance from the edge, fraction of full scale
    for (int quarter = 0; quarter < 4; ++quarter) {
      Layout layout = small_machine();
      layout.transfer.sheet_left_on_drum_mm = 5 + 0.025 * quarter;
      ScanOptions scan = sharp_scan();
      scan.blur_px = sigma;
      const Page page(layout, sheet_with({{{"yellow"}, {20.01, 50}, {-1, 13}, 1}}), {}, even_print(), scan);
      // Left edge of the first column whose centre lies beyond 20.01 mm.
      const double start = (quarter < 2 ? 200 : 201) - 0.25 * quarter;
      const double low = page.linear(250, 60, 2);
      for (int u = 180; u < 220; ++u) {
        edge.emplace_back(u + 0.5 - start, (page.linear(u, 60, 2) - low) / (0.8 - low));
      }
    }
    std::sort(edge.begin(), edge.end());
    const auto crossing = [&](double level) {
      for (std::size_t i = 1; i < edge.size(); ++i) {
        if (edge[i].second > level) continue;
        const double t = (level - edge[i - 1].second) / (edge[i].second - edge[i - 1].second);
        return edge[i - 1].first + t * (edge[i].first - edge[i - 1].first);
      }
      return std::nan("");
    };
    // The pixel's own area adds 1/12 px^2 to the blur's variance.
    const double total = std::sqrt(sigma * sigma + 1.0 / 12);
    EXPECT_NEAR(crossing(0.1) - crossing(0.9), 2.563103 * total, 0.02 * total);
    EXPECT_NEAR(crossing(0.5), 0, 0.02);
  }
}

// A pixel is the mean light over its area: an edge between columns shows in its exact share.
TEST(Scan, PixelsIntegrateOverTheirArea) {
  ScanOptions scan = sharp_scan();
  scan.dpi = 100;
  const Page page(small_machine(), sheet_with({{{"cyan"}, {10, 30}, {-1, 13}, 1}}), {}, even_print(), scan);
  const double solid = 0.8 * std::pow(10, -1.1);
  // 0.254 mm per pixel, the raw image is 157 px for 157.48 px of sheet: its left edge lies at 0.24 px.
  const double left_mm = 0.254 * (157.48031496 - 157) / 2;
  const int u = static_cast<int>((10 - left_mm) / 0.254);
  const double inked = (u + 1) - (10 - left_mm) / 0.254;
  EXPECT_NEAR(page.linear(u, 20, 0), inked * solid + (1 - inked) * 0.8, 2 * kCoding_linear);
  EXPECT_NEAR(page.linear(u + 1, 20, 0), solid, kCoding_linear);
}

TEST(Scan, SameBytesWhateverTheThreads) {
  ScanOptions scan;
  scan.dpi = 300;
  scan.skew_deg = 0.7;
  const Causes causes{{{0, true, 15, 2, 0.3, {}, "", {}, ""}}, {}, {}, {{20, 3, 0.1, {}}}, {{0.3, 1, 0.9}}};
  const Chart chart = sheet_with({all_over({"cyan"}, 0.6), all_over({"yellow"})});
  scan.threads = 1;
  const auto one = simulate_scan(small_machine(), chart, causes, {}, scan);
  ASSERT_TRUE(one.ok());
  for (const int threads : {0, 2, 3, 7}) {
    scan.threads = threads;
    const auto several = simulate_scan(small_machine(), chart, causes, {}, scan);
    ASSERT_TRUE(several.ok());
    EXPECT_TRUE(one->pixels == several->pixels) << threads;
  }
  scan.scan_seed = 2;
  EXPECT_FALSE(one->pixels == simulate_scan(small_machine(), chart, causes, {}, scan)->pixels);
}

}  // namespace
}  // namespace scrapetrace
