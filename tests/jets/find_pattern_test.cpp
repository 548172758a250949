// The jets' pattern: found where it is, denied where it is not, and silent where nothing shows.

#include "jets/find_pattern.h"

#include <gtest/gtest.h>

#include <cmath>
#include <utility>

#include "profile/ink_view.h"
#include "support/raster_of.h"

namespace scrapetrace::jets {
namespace {

using testing::bench_chart;
using testing::bench_machine;
using testing::noisy_scan;

Layout three_heads() {
  Layout layout = bench_machine();
  layout.carriages[1].travel = -1;
  layout.heads = {{"1", 0, 40, 123, false}, {"2", 1, 638, 123, false}, {"3", 0, 1222, 117, false}};
  return layout;
}

// Profiles of a page whose place is known, print shifted by `print.shift_x_mm` against it.
profile::PreparedScan prepared(const Layout& layout, const PrintOptions& print, const ScanOptions& scan) {
  const Chart chart = bench_chart();
  const auto raster = testing::raster_of(layout, chart, {}, print, scan);
  const auto place = testing::true_placement(chart, {}, scan);
  profile::PreparedScan out;
  out.blur_px = place.blur_px;
  out.strips = profile::extract_strips(raster, place, layout, {}, {});
  out.views = profile::make_ink_views(out.strips, chart, layout, false, {});
  return out;
}

Pattern found(const Layout& printed, const Layout& read, const PrintOptions& print, const ScanOptions& scan,
              const PatternOptions& options = {}) {
  const auto page = prepared(printed, print, scan);
  const geometry::Machine machine(read);
  return find_pattern(JetData(machine, page), machine, options);
}

class Shifts : public ::testing::TestWithParam<double> {};

TEST_P(Shifts, AreFoundToAFifthOfAColumn) {
  const Layout layout = three_heads();
  PrintOptions print;
  print.shift_x_mm = GetParam();
  PatternOptions options;
  options.sigma_mm = 1.5;
  const Pattern pattern = found(layout, layout, print, noisy_scan(3), options);
  EXPECT_EQ(pattern.verdict, PatternVerdict::recognised);
  EXPECT_NEAR(pattern.place.shift_mm, GetParam(), 0.2 * layout.px_mm());
  EXPECT_GT(pattern.log_evidence, pattern.next_best + 50);
}

INSTANTIATE_TEST_SUITE_P(Millimetres, Shifts, ::testing::Values(0.0, 0.1, -0.4, 0.9));

// Carriages that stand off leave gaps and overlaps where their heads mingle, which jets a pitch off would
// fill.
TEST_P(Shifts, AreNotDrawnToGapsAtSeams) {
  Layout layout = three_heads();
  layout.carriages[0].offset_mm = 0.04;
  layout.carriages[1].offset_mm = -0.06;
  PrintOptions print;
  print.shift_x_mm = GetParam();
  PatternOptions options;
  options.sigma_mm = 1.5;
  const Pattern pattern = found(layout, layout, print, noisy_scan(8, 300), options);
  EXPECT_NEAR(pattern.place.shift_mm, GetParam(), 0.3 * layout.px_mm());
  EXPECT_GT(pattern.log_evidence, pattern.next_best + 50);
}

TEST(FindPattern, DeniesAnotherInterleave) {
  Layout other = three_heads();
  other.interleave = {7, {0, 3, 6, 9, 12, 15, 18}};
  other.heads = {{"1", 0, 40, 136, false}, {"2", 1, 978, 122, false}};
  for (const double dpi : {300.0, 600.0})
    EXPECT_EQ(found(three_heads(), other, {}, noisy_scan(1, dpi)).verdict, PatternVerdict::contradicted)
        << dpi;
}

TEST(FindPattern, NoticesHeadsThatStandElsewhere) {
  Layout moved = three_heads();
  moved.heads[1].first_jet_px += 2;
  const Pattern pattern = found(three_heads(), moved, {}, noisy_scan(1));
  const Pattern whole = found(three_heads(), three_heads(), {}, noisy_scan(1));
  EXPECT_GT(pattern.left_over, 2 * whole.left_over);
}

TEST(FindPattern, IsSilentWithoutJets) {
  PrintOptions even;
  even.jet_variation = 0;
  const Pattern pattern = found(three_heads(), three_heads(), even, noisy_scan(1));
  EXPECT_EQ(pattern.verdict, PatternVerdict::unseen);
}

// A page of coarse noise once had tens of thousands of places tried, one jet's pitch after another.
TEST(FindPattern, IsNeverLessSureThanWhatItSearched) {
  PrintOptions even;
  even.jet_variation = 0;
  const Layout layout = three_heads();
  PatternOptions options;
  options.sigma_mm = 1e5;
  options.stretch = 0.002;
  const Pattern pattern = found(layout, layout, even, noisy_scan(3, 100), options);
  const double pitch_mm = layout.px_mm() * layout.interleave.jet_pitch_px;
  EXPECT_LT(pattern.sigma_mm, pitch_mm);
  EXPECT_LT(pattern.sigma_stretch, options.stretch);
  EXPECT_LT(std::abs(pattern.place.shift_mm), 300);
}

TEST(FindPattern, IsSilentWithoutPatches) {
  const Layout layout = three_heads();
  const geometry::Machine machine(layout);
  profile::PreparedScan page = prepared(layout, {}, noisy_scan(1));
  page.views.inked.clear();
  EXPECT_EQ(find_pattern(JetData(machine, page), machine, {}).verdict, PatternVerdict::unseen);
}

// To the last bit.
TEST(FindPattern, IsTheSameOnAnyNumberOfThreads) {
  const Layout layout = three_heads();
  const geometry::Machine machine(layout);
  const auto page = prepared(layout, {}, noisy_scan(6));
  const auto found_on = [&](int threads) {
    PatternOptions options;
    options.stretch = 0.001;
    options.threads = threads;
    const JetData data(machine, page, threads);
    return std::pair(data.spreads().value, find_pattern(data, machine, options));
  };
  const auto [spread, one] = found_on(1);
  EXPECT_EQ(one.verdict, PatternVerdict::recognised);
  for (const int threads : {2, 5}) {
    const auto [same_spread, several] = found_on(threads);
    EXPECT_EQ(same_spread, spread) << threads;
    EXPECT_EQ(several.place.shift_mm, one.place.shift_mm) << threads;
    EXPECT_EQ(several.place.stretch, one.place.stretch) << threads;
    EXPECT_EQ(several.log_evidence, one.log_evidence) << threads;
    EXPECT_EQ(several.next_best, one.next_best) << threads;
    EXPECT_EQ(several.part_ratio, one.part_ratio) << threads;
  }
}

// Combs cut by a window's ends overlap as their columns that are left do.
TEST(Combs, OfAPartOverlapAsTheirColumnsDo) {
  const Layout layout = three_heads();
  const ColumnSpread spread(layout.px_mm(), 0.05);
  const Combs all = make_combs(geometry::Machine(layout), spread);
  const double from_mm = all.jets[all.jets.size() / 4].back();
  const double to_mm = all.jets[all.jets.size() / 2].front();
  const Combs part = seen_combs(
      all, [&](double x) { return x >= from_mm && x <= to_mm; }, spread);
  ASSERT_FALSE(part.jets.empty());
  ASSERT_LT(part.jets.size(), all.jets.size());
  for (std::size_t i = 0; i < part.jets.size(); ++i) {
    for (std::size_t k = 0; k < part.overlap[i].size(); ++k) {
      double sum = 0;
      for (const double a : part.jets[i]) {
        for (const double b : part.jets[i + k]) sum += spread.overlap(b - a);
      }
      EXPECT_NEAR(part.overlap[i][k], sum, 1e-12) << i << " " << k;
    }
  }
}

// Overlap of two blurred boxes is the integral of their product, by the trapezium rule.
TEST(ColumnSpread, OverlapIsTheIntegralOfTheProduct) {
  const ColumnSpread spread(0.0635, 0.07);
  for (const double distance : {0.0, 0.05, 0.2}) {
    double sum = 0;
    const double step = 1e-4;
    for (double x = -1; x < 1; x += step) sum += step * spread.weight(x) * spread.weight(x - distance);
    EXPECT_NEAR(spread.overlap(distance), sum, 1e-6);
  }
}

}  // namespace
}  // namespace scrapetrace::jets
