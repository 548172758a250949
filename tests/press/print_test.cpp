// Ink on paper: densities, tints, and the variation that no cause explains.

#include <gtest/gtest.h>

#include <array>
#include <map>

#include "pages.h"

namespace scrapetrace {
namespace {

using testing::all_over;
using testing::even_print;
using testing::kHeight_px;
using testing::kWidth_px;
using testing::moments;
using testing::Page;
using testing::sharp_scan;
using testing::sheet_with;
using testing::small_machine;

TEST(Print, SolidHasTheLayoutsDensityInEveryChannel) {
  const Layout layout = small_machine();
  for (const Ink& ink : layout.inks) {
    const Page page(layout, sheet_with({all_over({ink.name})}), {}, even_print(), sharp_scan());
    for (int c = 0; c < 3; ++c) {
      EXPECT_NEAR(page.density(200, 60, c), ink.solid_density_rgb[static_cast<std::size_t>(c)],
                  testing::kCoding_density);
    }
  }
}

// Beer-Lambert: densities of overprinted inks add.
TEST(Print, OverprintedDensitiesAdd) {
  const Page page(small_machine(), sheet_with({all_over({"cyan"}), all_over({"magenta", "yellow"})}), {},
                  even_print(), sharp_scan());
  EXPECT_NEAR(page.density(200, 60, 0), 1.1 + 0.2 + 0.05, testing::kCoding_density);
  EXPECT_NEAR(page.density(200, 60, 1), 0.3 + 1.2 + 0.1, testing::kCoding_density);
  EXPECT_NEAR(page.density(200, 60, 2), 0.1 + 0.4 + 1.0, testing::kCoding_density);
}

TEST(Print, PatchTakesColumnsAndRowsWhoseCentreItHolds) {
  const Page page(small_machine(), sheet_with({{{"cyan"}, {10.04, 20.06}, {3.06, 8.04}, 1}}), {},
                  even_print(), sharp_scan());
  for (int v = 0; v < kHeight_px; ++v) {
    for (int u = 0; u < kWidth_px; u += 1) {
      // Centres at 0.05 + 0.1 i: the first column is 100 (10.05), the last 200 (20.05); rows 31 (3.15) to 79
      // (7.95).
      const bool inked = u >= 100 && u <= 200 && v >= 31 && v <= 79;
      ASSERT_NEAR(page.density(u, v, 0), inked ? 1.1 : 0, testing::kCoding_density) << u << ", " << v;
    }
  }
}

TEST(Print, NothingIsPrintedBeyondTheHeads) {
  Layout layout = small_machine();
  layout.heads[1].jets = 20;  // covers up to column 250 + 76
  const Page page(layout, sheet_with({all_over({"cyan"})}), {}, even_print(), sharp_scan());
  EXPECT_NEAR(page.density(326 - 50, 60, 0), 1.1, testing::kCoding_density);
  EXPECT_NEAR(page.density(327 - 50, 60, 0), 0, testing::kCoding_density);
}

// Mean linear light of each column in the first channel.
std::vector<double> red_by_column(const Page& page) {
  std::vector<double> out;
  for (int u = 0; u < kWidth_px; ++u) {
    double column = 0;
    for (int v = 0; v < kHeight_px; ++v) column += page.linear(u, v, 0);
    out.push_back(column / kHeight_px);
  }
  return out;
}

// Murray-Davies: R = a R_solid + (1 - a) R_paper (Murray, J. Franklin Inst. 221, 1936; as reviewed by Wyble
// and Berns, Color Res. Appl. 25, 2000, 4-19). The screen is of drum pixels, so it holds without dot gain.
TEST(Tint, MeanReflectanceFollowsMurrayDavies) {
  for (const double a : {0.05, 0.25, 0.5, 0.8}) {
    const Page page(small_machine(), sheet_with({all_over({"cyan"}, a)}), {}, even_print(), sharp_scan());
    const auto column_means = red_by_column(page);
    const double solid = 0.8 * std::pow(10, -1.1);
    EXPECT_NEAR(moments(column_means).mean, a * solid + (1 - a) * 0.8, 0.0015) << a;
    // A screen without structure would scatter the means of columns by this; ours must not fake streaks.
    const double unstructured = (0.8 - solid) * std::sqrt(a * (1 - a) / kHeight_px);
    EXPECT_LT(moments(column_means).sd, 0.6 * unstructured) << a;
  }
}

// Demichel's areas for coverages 0.5, 0.4, 0.2: paper .24, Y .06, M .16, MY .04, C .24, CY .06, CM .16, CMY
// .04 (the products of coverages).
TEST(Tint, OverprintedScreensAreIndependent) {
  const Chart chart =
      sheet_with({all_over({"cyan"}, 0.5), all_over({"magenta"}, 0.4), all_over({"yellow"}, 0.2)});
  const Page page(small_machine(), chart, {}, even_print(), sharp_scan());
  std::map<std::array<bool, 3>, double> area;
  for (int v = 0; v < kHeight_px; ++v) {
    for (int u = 0; u < kWidth_px; ++u) {
      const std::array<bool, 3> inked{page.density(u, v, 0) > 0.9, page.density(u, v, 1) > 1.0,
                                      page.density(u, v, 2) > 0.8};
      area[inked] += 1.0 / (kWidth_px * kHeight_px);
    }
  }
  for (const bool c : {false, true}) {
    for (const bool m : {false, true}) {
      for (const bool y : {false, true}) {
        const double product = 0.5 * (m ? 0.4 : 0.6) * (y ? 0.2 : 0.8);
        EXPECT_NEAR((area[{c, m, y}]), product, 0.012) << c << m << y;
      }
    }
  }
}

// A screen of cells: each coverage is met as a whole, and a screen whose lines run along the columns, one
// cell every 5 columns, repeats across with just that period.
TEST(Tint, CellsMeetTheCoverageAndRepeat) {
  PrintOptions print = even_print();
  const Layout layout = small_machine();
  print.screen_lpi = layout.raster.cross_process_dpi / 5;
  print.screen_deg = 0;
  for (const double a : {0.2, 0.5, 0.8}) {
    const Page page(layout, sheet_with({all_over({"cyan"}, a)}), {}, print, sharp_scan());
    const auto column_means = red_by_column(page);
    const double solid = 0.8 * std::pow(10, -1.1);
    EXPECT_NEAR(moments(column_means).mean, a * solid + (1 - a) * 0.8, 0.03) << a;
    EXPECT_GT(moments(column_means).sd, 0.1) << a;
    for (std::size_t u = 0; u + 5 < column_means.size(); ++u)
      EXPECT_NEAR(column_means[u], column_means[u + 5], 1e-3) << a << " " << u;
  }
}

std::vector<double> column_densities(const PrintOptions& print, const std::string& ink, int channel,
                                     std::uint64_t scan_seed = 1) {
  ScanOptions scan = sharp_scan();
  scan.scan_seed = scan_seed;
  const Page page(small_machine(), sheet_with({all_over({ink})}), {}, print, scan);
  std::vector<double> out;
  for (int u = 0; u < kWidth_px; ++u) out.push_back(page.density(u, 60, channel));
  return out;
}

TEST(JetVariation, BelongsToTheMachineNotTheSheet) {
  PrintOptions print = even_print();
  print.jet_variation = 0.05;
  EXPECT_EQ(column_densities(print, "cyan", 0, 1), column_densities(print, "cyan", 0, 2));
  const auto before = column_densities(print, "cyan", 0);
  print.machine_seed = 2;
  EXPECT_NE(before, column_densities(print, "cyan", 0));
}

TEST(Grain, BelongsToTheSheetWhenItHasASeed) {
  PrintOptions print = even_print();
  print.grain = 0.03;
  print.mottle = 0.03;
  EXPECT_NE(column_densities(print, "cyan", 0, 1), column_densities(print, "cyan", 0, 2));
  print.sheet_seed = 1;
  const auto once = column_densities(print, "cyan", 0, 1);
  EXPECT_EQ(once, column_densities(print, "cyan", 0, 2));
  print.sheet_seed.reset();
  EXPECT_EQ(once, column_densities(print, "cyan", 0, 1));
}

TEST(JetVariation, IsOneDeviationPerJet) {
  PrintOptions print = even_print();
  print.jet_variation = 0.05;
  const auto density = column_densities(print, "cyan", 0);
  // Head 1, jet 30 lays columns 130, 135, 140 and 145.
  for (const int column : {135, 140, 145}) {
    EXPECT_NEAR(density[static_cast<std::size_t>(column - 50)], density[130 - 50], testing::kCoding_density);
  }
  EXPECT_GT(std::abs(density[131 - 50] - density[130 - 50]), 1e-3);
  // About 100 jets: the standard error of an SD is SD / sqrt(2 * 100), and four of them are allowed.
  EXPECT_NEAR(moments(density).sd / 1.1, 0.05, 4 * 0.05 / std::sqrt(200.0));
}

TEST(JetVariation, DiffersBetweenInks) {
  PrintOptions print = even_print();
  print.jet_variation = 0.05;
  const auto cyan = column_densities(print, "cyan", 0);
  const auto magenta = column_densities(print, "magenta", 1);
  double product = 0;
  for (std::size_t i = 0; i < cyan.size(); ++i) product += (cyan[i] / 1.1 - 1) * (magenta[i] / 1.2 - 1);
  const double correlation = product / static_cast<double>(cyan.size()) / (0.05 * 0.05);
  EXPECT_LT(std::abs(correlation), 0.4);  // four standard errors for about 100 jets
}

TEST(Grain, HasTheAskedDeviationAndIsWhite) {
  PrintOptions print = even_print();
  print.grain = 0.04;
  const Page page(small_machine(), sheet_with({all_over({"cyan"})}), {}, print, sharp_scan());
  std::vector<double> ink;
  double neighbours = 0;
  for (int v = 0; v < kHeight_px; ++v) {
    for (int u = 0; u < kWidth_px; ++u) {
      ink.push_back(page.density(u, v, 0) / 1.1);
      if (u > 0) neighbours += (ink[ink.size() - 1] - 1) * (ink[ink.size() - 2] - 1);
    }
  }
  const auto n = static_cast<double>(ink.size());
  EXPECT_NEAR(moments(ink).mean, 1, 4 * 0.04 / std::sqrt(n));
  EXPECT_NEAR(moments(ink).sd, 0.04, 4 * 0.04 / std::sqrt(2 * n));
  EXPECT_LT(std::abs(neighbours / n / (0.04 * 0.04)), 4 / std::sqrt(n));
}

// Correlation exp(-d^2 / (2 length^2)): 0.607 at one length, 0.135 at two.
TEST(Mottle, HasTheAskedDeviationAndLength) {
  PrintOptions print = even_print();
  print.mottle = 0.03;
  print.mottle_mm = 0.8;
  const int lag = 8;  // one correlation length
  double n = 0, squares = 0, along_one = 0, across_one = 0, across_two = 0;
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    ScanOptions scan = sharp_scan();
    scan.scan_seed = seed;
    const Page page(small_machine(), sheet_with({all_over({"cyan"})}), {}, print, scan);
    const auto at = [&](int u, int v) { return page.density(u, v, 0) / 1.1 - 1; };
    for (int v = 0; v < kHeight_px - lag; v += 3) {
      for (int u = 0; u < kWidth_px - 2 * lag; u += 3) {
        const double here = at(u, v);
        n += 1;
        squares += here * here;
        across_one += here * at(u + lag, v);
        along_one += here * at(u, v + lag);
        across_two += here * at(u + 2 * lag, v);
      }
    }
  }
  // 12 sheets hold about 12 * 40 * 12 / (2 pi 0.8^2) = 1400 independent places: 5 standard errors of each
  // number.
  EXPECT_NEAR(std::sqrt(squares / n), 0.03, 0.03 * 0.1);
  EXPECT_NEAR(across_one / squares, std::exp(-0.5), 0.1);
  EXPECT_NEAR(along_one / squares, std::exp(-0.5), 0.1);
  EXPECT_NEAR(across_two / squares, std::exp(-2.0), 0.13);
}

}  // namespace
}  // namespace scrapetrace
