// Tracks: where along the sheet a streak begins, ends and pauses.

#include "streak/track.h"

#include <gtest/gtest.h>

#include <ostream>

#include "support/raster_of.h"

namespace scrapetrace::streak {
namespace {

using testing::bench_machine;
using testing::noisy_scan;
using testing::raster_of;
using testing::true_placement;

constexpr double kStrip_mm = 5;

// Three long bands, so that streaks have room to begin and end.
Chart long_chart() {
  Chart chart;
  chart.name = "long bands";
  chart.sheet_mm = {100, 120};
  chart.patches = {{{"cyan"}, {8, 92}, {5, 42}, 1},
                   {{"magenta"}, {8, 92}, {45, 80}, 1},
                   {{"cyan"}, {8, 92}, {83, 115}, 1}};
  return chart;
}

Residue residue(double from_mm, double to_mm) {
  Residue out;
  out.carriage = 1;
  out.x_mm = 50;
  out.width_mm = 0.6;
  out.loss = 0.3;
  out.y = {from_mm, to_mm};
  return out;
}

// The columns touched on every pass that matters: the middle of the streak.
constexpr Interval kAcross = {50.2, 51.2};

Track track_of(const Causes& causes, int ink, bool added = false, std::uint64_t seed = 1,
               Interval across = kAcross) {
  const Layout layout = bench_machine();
  const ScanOptions scan = noisy_scan(seed);
  const auto raster = raster_of(layout, long_chart(), causes, {}, scan);
  profile::StripOptions options;
  options.length_mm = kStrip_mm;
  const auto strips =
      profile::extract_strips(raster, true_placement(long_chart(), {}, scan), layout, {}, options);
  const auto views = profile::make_ink_views(strips, long_chart(), layout, raster.grey, {});
  return track_streak(strips, views, across, ink, added);
}

// A strip shows the streak or does not: ends are good to one strip, and to the white between bands.
constexpr double kEnd_mm = kStrip_mm + 1;

TEST(Track, OfAWholeLengthStreakRunsFromEndToEnd) {
  Causes causes;
  causes.residues = {residue(-1, 200)};
  for (std::uint64_t seed = 1; seed <= 3; ++seed) {
    const auto track = track_of(causes, -1, false, seed);
    ASSERT_EQ(track.y_mm.size(), 1U);
    EXPECT_NEAR(track.y_mm[0].from_mm, 5, 1);
    EXPECT_NEAR(track.y_mm[0].to_mm, 115, 1);
    EXPECT_GT(track.z, 8);
    EXPECT_GT(track.mean_loss, 0.15);
    EXPECT_LT(track.mean_loss, 0.95);
  }
}

struct Part {
  double from_mm, to_mm;
};
void PrintTo(const Part& part, std::ostream* out) {
  *out << part.from_mm << " to " << part.to_mm << " mm";
}
class PartOf : public ::testing::TestWithParam<Part> {};

TEST_P(PartOf, AStreakHasItsStartAndEnd) {
  Causes causes;
  causes.residues = {residue(GetParam().from_mm, GetParam().to_mm)};
  const auto track = track_of(causes, -1);
  ASSERT_EQ(track.y_mm.size(), 1U);
  EXPECT_NEAR(track.y_mm[0].from_mm, GetParam().from_mm, kEnd_mm);
  EXPECT_NEAR(track.y_mm[0].to_mm, GetParam().to_mm, kEnd_mm);
}

INSTANTIATE_TEST_SUITE_P(Streak, PartOf,
                         ::testing::Values(Part{5, 30}, Part{20, 70}, Part{60, 75}, Part{90, 115}));

// Too faint for any one strip to be sure of: the stretch as a whole tells.
TEST(Track, OfAFaintStreakBeginsWhereItDoes) {
  Causes causes;
  causes.scratches = {{800 * 0.0635 - 1e-6, 12 * 0.0635, 0.08, {60, 200}}};
  for (std::uint64_t seed = 1; seed <= 3; ++seed) {
    const auto track = track_of(causes, -1, false, seed, {802 * 0.0635, 810 * 0.0635});
    ASSERT_EQ(track.y_mm.size(), 1U) << seed;
    EXPECT_NEAR(track.y_mm[0].from_mm, 60, kEnd_mm) << seed;
    EXPECT_NEAR(track.y_mm[0].to_mm, 115, 1) << seed;
  }
}

TEST(Track, ShowsAGap) {
  Causes causes;
  causes.residues = {residue(5, 35), residue(75, 115)};
  const auto track = track_of(causes, -1);
  ASSERT_EQ(track.y_mm.size(), 2U);
  EXPECT_NEAR(track.y_mm[0].from_mm, 5, 1);
  EXPECT_NEAR(track.y_mm[0].to_mm, 35, kEnd_mm);
  EXPECT_NEAR(track.y_mm[1].from_mm, 75, kEnd_mm);
  EXPECT_NEAR(track.y_mm[1].to_mm, 115, 1);
}

// Columns 800 to 811 lost two fifths of all inks.
TEST(Track, MeasuresTheLoss) {
  Causes causes;
  causes.scratches = {{800 * 0.0635 - 1e-6, 12 * 0.0635, 0.4, {}}};
  const auto track = track_of(causes, -1, false, 2, {802 * 0.0635, 810 * 0.0635});
  EXPECT_NEAR(track.mean_loss, 0.4, 0.04);
}

TEST(Track, OfOneInkLooksAtThatInkOnly) {
  Causes causes;
  causes.jets = {{0, 1, 150, 1}};  // magenta; lands on columns 790 to 802
  const Interval across = {790 * 0.0635, 803 * 0.0635};
  const auto magenta = track_of(causes, 1, false, 1, across);
  ASSERT_EQ(magenta.y_mm.size(), 1U);
  EXPECT_NEAR(magenta.y_mm[0].from_mm, 45, 1);
  EXPECT_NEAR(magenta.y_mm[0].to_mm, 80, 1);
  EXPECT_GT(magenta.mean_loss, 0.2);
  EXPECT_LT(track_of(causes, 0, false, 1, across).z, magenta.z / 2);
}

TEST(Track, OfAddedInkLooksAtThePaper) {
  Causes causes;
  causes.hazes = {{60, 5, 0.06, {}}};
  const auto track = track_of(causes, -1, true, 1, {58.5, 61.5});
  ASSERT_FALSE(track.y_mm.empty());
  EXPECT_LT(track.y_mm.front().from_mm, 5);
  EXPECT_GT(track.y_mm.back().to_mm, 115);
  EXPECT_NEAR(track.mean_loss, 0.06, 0.02);
}

TEST(Track, OutsideThePrintIsEmpty) {
  EXPECT_TRUE(track_of({}, -1, false, 1, {1, 2}).y_mm.empty());
  EXPECT_TRUE(track_of({}, 2).y_mm.empty());  // no yellow on this chart
}

}  // namespace
}  // namespace scrapetrace::streak
