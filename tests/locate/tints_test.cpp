// Pages of tints, alone and beside solids of the same ink.

#include <gtest/gtest.h>

#include <array>

#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::noisy_scan;
using testing::two_way_machine;

Chart page_of(double first, double second) {
  Chart chart;
  chart.name = "tints";
  chart.sheet_mm = {100, 120};
  chart.patches = {{{"cyan"}, {8, 92}, {10, 34}, first},
                   {{"cyan"}, {8, 92}, {38, 62}, second},
                   {{"magenta"}, {8, 92}, {66, 82}, second},
                   {{"magenta"}, {8, 92}, {86, 102}, first},
                   {{"cyan", "magenta"}, {8, 18}, {106, 114}, 1}};
  return chart;
}

Findings read(const Chart& chart, const Causes& causes, std::uint64_t seed, PrintOptions print = {}) {
  const Layout layout = two_way_machine();
  print.machine_seed = seed + 50;
  return locate(layout, &chart,
                {{"page", testing::raster_of(layout, chart, causes, print, noisy_scan(seed, 300))}}, {})
      .findings;
}

// Reads a page with a scrape, which must be named.
void expect_the_place(const Chart& chart, std::uint64_t seed, const PrintOptions& print = {}) {
  const Residue residue = testing::residue_at(two_way_machine(), 0, Side::right, 1.5, 1.6, 0.3);
  const Findings found = read(chart, testing::only(residue), seed, print);
  ASSERT_TRUE(found.scans[0].analysed());
  ASSERT_FALSE(found.targets.empty()) << seed;
  EXPECT_EQ(found.targets[0].head, "1") << seed;
  EXPECT_EQ(found.targets[0].side, Side::right) << seed;
  EXPECT_GT(found.targets[0].probability, 0.8) << seed;
  EXPECT_NEAR(found.targets[0].x_drum_mm, residue.x_mm + residue.width_mm / 2, 0.1) << seed;
}

// Reads a clean page.
void expect_nothing(const Chart& chart, std::uint64_t seed, const PrintOptions& print = {}) {
  for (const Target& target : read(chart, {}, seed, print).targets)
    EXPECT_LT(target.probability, 0.2) << seed << target.head;
}

class Tints : public ::testing::TestWithParam<std::array<double, 2>> {};

// A solid and a tint of one ink answer to a loss with different curves: averaged into one, they fitted no
// cause.
TEST_P(Tints, LeadToThePlace) {
  for (const std::uint64_t seed : {61U, 62U, 63U})
    expect_the_place(page_of(GetParam()[0], GetParam()[1]), seed);
}

// The screen's own grain makes no streaks.
TEST_P(Tints, OfCleanSheetsNameNothing) {
  for (const std::uint64_t seed : {71U, 72U, 73U})
    expect_nothing(page_of(GetParam()[0], GetParam()[1]), seed);
}

// Screens in regular cells leave fringes in the profiles; at 0 and 45 degrees from the sheet's edge the most.
class ScreenedTints : public ::testing::TestWithParam<std::array<double, 2>> {};

PrintOptions screened(std::array<double, 2> lpi_and_deg) {
  PrintOptions print;
  print.screen_lpi = lpi_and_deg[0];
  print.screen_deg = lpi_and_deg[1];
  return print;
}

TEST_P(ScreenedTints, LeadToThePlace) {
  for (const std::uint64_t seed : {81U, 82U}) expect_the_place(page_of(0.4, 0.7), seed, screened(GetParam()));
}

TEST_P(ScreenedTints, OfCleanSheetsNameNothing) {
  for (const std::uint64_t seed : {91U, 92U}) expect_nothing(page_of(0.4, 0.7), seed, screened(GetParam()));
}

// Nothing solid anywhere, and carriages that stand off: neither the dots' ragged sides, nor single columns
// where cells nearly fit the raster, nor the lines at the seam are streaks.
class ScreensAlone : public ::testing::TestWithParam<std::array<double, 3>> {};

Findings read_alone(const Causes& causes, std::uint64_t seed, std::array<double, 3> screen) {
  Layout layout = two_way_machine();
  layout.carriages[1].offset_mm = 0.06;
  Chart chart = page_of(screen[2], screen[2]);
  chart.patches.back().coverage = screen[2];
  PrintOptions print = screened({screen[0], screen[1]});
  print.machine_seed = seed + 50;
  return locate(layout, &chart,
                {{"page", testing::raster_of(layout, chart, causes, print, noisy_scan(seed, 400))}}, {})
      .findings;
}

TEST_P(ScreensAlone, LeadToThePlace) {
  const Residue residue = testing::residue_at(two_way_machine(), 0, Side::right, 2, 1.6, 0.3);
  for (const std::uint64_t seed : {101U, 102U, 103U}) {
    const Findings found = read_alone(testing::only(residue), seed, GetParam());
    ASSERT_FALSE(found.targets.empty()) << seed;
    EXPECT_EQ(found.targets[0].head, "1") << seed;
    EXPECT_EQ(found.targets[0].side, Side::right) << seed;
    for (const Target& target : found.targets)
      EXPECT_TRUE(target.probability < 0.5 || &target == &found.targets[0]) << seed << target.head;
  }
}

TEST_P(ScreensAlone, OfCleanSheetsNameNothing) {
  for (const std::uint64_t seed : {111U, 112U, 113U}) {
    const Findings found = read_alone({}, seed, GetParam());
    for (const Target& target : found.targets) EXPECT_LT(target.probability, 0.2) << seed << target.head;
    EXPECT_TRUE(testing::streaks_by(found, Cause::seam_mismatch).empty()) << testing::streaks_of(found);
  }
}

INSTANTIATE_TEST_SUITE_P(LinesAnglesCoverages, ScreensAlone,
                         ::testing::Values(std::array{53.0, 22.5, 0.3}, std::array{65.0, 75.0, 0.2},
                                           std::array{133.0, 45.0, 0.3}, std::array{120.0, 15.0, 0.85}));

INSTANTIATE_TEST_SUITE_P(LinesAndAngles, ScreenedTints,
                         ::testing::Values(std::array{65.0, 0.0}, std::array{85.0, 45.0},
                                           std::array{100.0, 15.0}, std::array{133.0, 0.0}));

INSTANTIATE_TEST_SUITE_P(Coverages, Tints,
                         ::testing::Values(std::array{1.0, 0.7}, std::array{1.0, 0.4}, std::array{0.6, 0.6},
                                           std::array{0.8, 0.3}));

}  // namespace
}  // namespace scrapetrace
