// Seams of carriages that stand off from each other, where a scan lets nothing be told beside them: no target
// comes of the lines that the layout has there, and they count as not checked.

#include <gtest/gtest.h>

#include "locate/pages.h"
#include "support/raster_of.h"

namespace scrapetrace {
namespace {

using testing::bench_chart;
using testing::noisy_scan;
using testing::only;
using testing::probability_of;
using testing::residue_at;
using testing::two_way_machine;

constexpr double kSeam_mm = 62.6;  // on the drum

Layout standing_off(double gap_mm) {
  Layout layout = two_way_machine();
  layout.carriages[1].offset_mm = gap_mm;
  return layout;
}

Findings find_sharpened(const Layout& layout, const Causes& causes, std::uint64_t seed, double times) {
  const auto plain = simulate_scan(layout, bench_chart(), causes, {}, noisy_scan(seed));
  return testing::find(layout, {{"page.png", testing::raster_of(testing::sharpened(*plain, times))}});
}

// Whether the scan says so, and the answer does.
void expect_hidden(const Findings& found) {
  const auto& reasons = found.scans.at(0).reasons;
  EXPECT_TRUE(std::any_of(reasons.begin(), reasons.end(), [](const std::string& reason) {
    return reason.find("of seams between heads no streak was looked for") != std::string::npos;
  }));
  EXPECT_TRUE(std::any_of(found.unchecked.begin(), found.unchecked.end(), [](const Unchecked& gap) {
    return gap.x_drum_mm.from_mm < kSeam_mm && gap.x_drum_mm.to_mm > kSeam_mm;
  }));
}

class Sharpened : public ::testing::TestWithParam<double> {};

TEST_P(Sharpened, SeamsMakeNoTargets) {
  for (const double gap_mm : {0.09, -0.09}) {
    for (const std::uint64_t seed : {71U, 72U}) {
      const Findings found = find_sharpened(standing_off(gap_mm), {}, seed, GetParam());
      expect_hidden(found);
      EXPECT_TRUE(found.streaks.empty()) << testing::streaks_of(found) << gap_mm << " " << seed;
    }
  }
}

TEST_P(Sharpened, PagesStillShowScrapes) {
  const Layout layout = standing_off(0.09);
  for (const double loss : {0.1, 0.4}) {
    const Causes scraped = only(residue_at(layout, 0, Side::right, 2.5, 0.5, loss));
    EXPECT_GT(probability_of(find_sharpened(layout, scraped, 73, GetParam()), "1", Side::right), 0.9) << loss;
  }
}

INSTANTIATE_TEST_SUITE_P(Times, Sharpened, ::testing::Values(0.8, 1.5));

// Marks say one place and the jets another: neither the heads' sides nor their seams are known better.
TEST(HeadsThatStandElsewhere, SeamsMakeNoTargets) {
  for (const double gap_mm : {0.09, -0.09}) {
    const Layout layout = standing_off(gap_mm);
    Layout moved = layout;
    for (Head& head : moved.heads) head.first_jet_px += 7;  // 0.44 mm
    const Findings found = testing::find(moved, {testing::scanned(layout, {}, noisy_scan(74))});
    expect_hidden(found);
    EXPECT_TRUE(found.streaks.empty()) << testing::streaks_of(found) << gap_mm;
    ASSERT_TRUE(found.scans.at(0).registration.has_value());
    for (const PlaceError& error : found.scans[0].registration->errors_across) EXPECT_GT(error.sigma_mm, 0.4);
  }
}

}  // namespace
}  // namespace scrapetrace
