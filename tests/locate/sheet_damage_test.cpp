// What happens to one sheet after it was printed: dirt, hairs, scratches of the paper. What the technician
// would suffer: a hot machine opened for a speck.

#include <gtest/gtest.h>

#include <cmath>
#include <utility>

#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::find;
using testing::noisy_scan;
using testing::only;
using testing::residue_at;
using testing::two_way_machine;

// A light line on a scan: from (x, y) in sheet mm on, a part of the ink gone over a width.
struct Line {
  double x_mm = 50;
  double y_mm = 80;
  double long_mm = 6;
  double slope = 0;  // mm across per mm along
  double width_mm = 0.5;
  double loss = 0.5;
};

SimulatedScan scan_of(const Layout& layout, const Causes& causes, std::uint64_t seed) {
  ScanOptions scan = noisy_scan(seed);
  scan.margin_mm = 0;
  auto image = simulate_scan(layout, testing::bench_chart(), causes, {}, scan);
  EXPECT_TRUE(image);
  return std::move(*image);
}

void draw(const Line& line, SimulatedScan& image) {
  const double px_mm = 25.4 / image.dpi;
  for (int v = 0; v < image.height_px; ++v) {
    const double y = v * px_mm;
    if (y < line.y_mm || y > line.y_mm + line.long_mm) continue;
    const double middle = line.x_mm + line.slope * (y - line.y_mm);
    for (int u = 0; u < image.width_px; ++u) {
      if (std::abs(u * px_mm - middle) > line.width_mm / 2) continue;
      for (int c = 0; c < image.channels; ++c) {
        auto& value = image.pixels[(static_cast<std::size_t>(v) * static_cast<std::size_t>(image.width_px) +
                                    static_cast<std::size_t>(u)) *
                                       static_cast<std::size_t>(image.channels) +
                                   static_cast<std::size_t>(c)];
        value = static_cast<std::uint8_t>(value + line.loss * (245 - value));
      }
    }
  }
}

Findings found_with(const std::vector<Line>& lines, std::uint64_t seed) {
  SimulatedScan image = scan_of(two_way_machine(), {}, seed);
  for (const Line& line : lines) draw(line, image);
  return find(two_way_machine(), {{"page.png", testing::raster_of(image)}});
}

double most_of(const Findings& found) {
  return found.targets.empty() ? 0 : found.targets.front().probability;
}

TEST(SheetDamage, ASpeckOfAFewMillimetresOpensNoMachine) {
  for (const double x_mm : {31.0, 47.0, 63.0}) {
    const Findings found = found_with({{x_mm, 81, 6, 0, 0.5, 0.5}}, 3);
    EXPECT_LE(most_of(found), 0.5) << x_mm << " " << testing::streaks_of(found);
    EXPECT_FALSE(found.streaks.empty()) << "nothing said of it";
  }
}

TEST(SheetDamage, AHairThatSlantsOpensNoMachine) {
  const Findings found = found_with({{40, 12, 86, 0.02, 0.4, 0.5}}, 4);
  EXPECT_LE(most_of(found), 0.5) << testing::streaks_of(found);
}

TEST(SheetDamage, ManySpecksOpenNoMachine) {
  std::vector<Line> lines;
  for (int k = 0; k < 6; ++k) lines.push_back({20.0 + 11 * k, k % 2 ? 82.0 : 38.0, 5, 0, 0.3 + 0.1 * k, 0.4});
  EXPECT_LE(most_of(found_with(lines, 5)), 0.5);
}

TEST(SheetDamage, BesideAScrapeHidesItNot) {
  const Layout layout = two_way_machine();
  SimulatedScan image = scan_of(layout, only(residue_at(layout, 0, Side::right, 1.5, 0.8, 0.5)), 6);
  draw({60, 81, 6, 0, 0.5, 0.5}, image);
  const Findings found = find(layout, {{"page.png", testing::raster_of(image)}});
  EXPECT_GT(testing::probability_of(found, "1", Side::right), 0.9) << testing::streaks_of(found);
}

TEST(SheetDamage, IsNoneWhereTheNextSheetShowsTheSame) {
  const Layout layout = two_way_machine();
  Residue residue = residue_at(layout, 0, Side::right, 1.5, 0.8, 0.5);
  residue.y = {58, 75};  // a contact that comes and goes: one band of three that it could show in
  const auto page = [&](std::uint64_t seed) {
    PrintOptions print;
    print.machine_seed = 7;
    return testing::scanned(layout, only(residue), noisy_scan(seed), print);
  };
  const Findings one = find(layout, {page(1)});
  const Findings two = find(layout, {page(1), page(2)});
  const double with_one = testing::probability_of(one, "1", Side::right);
  const double with_two = testing::probability_of(two, "1", Side::right);
  EXPECT_LT(with_one, 0.9);
  EXPECT_GT(with_two, 0.9);
}

}  // namespace
}  // namespace scrapetrace
