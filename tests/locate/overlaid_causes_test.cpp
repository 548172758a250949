// Two causes over each other: each alone misses by far, and what the first one is fitted to is both.

#include <gtest/gtest.h>

#include "geometry/travel.h"
#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::find;
using testing::noisy_scan;
using testing::only;
using testing::probability_of;
using testing::residue_at;
using testing::streaks_by;
using testing::streaks_of;
using testing::two_way_machine;

// A scrape of head 1's right side, and the middle of the streak that it draws.
struct Scrape {
  explicit Scrape(const Layout& layout) : residue(residue_at(layout, 0, Side::right, 1.2, 1.4, 0.3)) {
    const geometry::Travel travel = geometry::travel_of(layout, residue.carriage);
    middle_mm =
        residue.x_mm + 0.5 * residue.width_mm + 0.5 * (travel.low_px + travel.high_px) * layout.px_mm();
  }
  Residue residue;
  double middle_mm = 0;
};

TEST(OverlaidCauses, AScrapeAndAScratchEachGetTheirShare) {
  const Layout layout = two_way_machine();
  const Scrape scrape(layout);
  for (std::uint64_t seed = 1; seed <= 3; ++seed) {
    Causes causes = only(scrape.residue);
    causes.scratches = {{scrape.middle_mm - 1.6, 0.9, 0.5, {}}};
    const Findings found = find(layout, causes, noisy_scan(200 + seed, 400));
    const auto scrapes = streaks_by(found, Cause::residue);
    const auto scratches = streaks_by(found, Cause::drum_scratch);
    ASSERT_EQ(scrapes.size(), 1U) << streaks_of(found);
    ASSERT_EQ(scratches.size(), 1U) << streaks_of(found);
    EXPECT_NEAR(scrapes[0].residue->loss, scrape.residue.loss, 0.05) << seed;
    EXPECT_NEAR(scratches[0].width_mm, 0.9, 0.2) << seed;
    EXPECT_GT(probability_of(found, "1", Side::right), 0.9) << seed;
  }
}

// The haze moves far less ink than the scrape takes.
TEST(OverlaidCauses, AScrapeUnderBladeHazeIsNoUnknown) {
  const Layout layout = two_way_machine();
  const Scrape scrape(layout);
  for (std::uint64_t seed = 1; seed <= 3; ++seed) {
    Causes causes = only(scrape.residue);
    causes.hazes = {{scrape.middle_mm - 0.4, 3.0, 0.05, {}}};
    const Findings found = find(layout, causes, noisy_scan(210 + seed, 400));
    EXPECT_EQ(streaks_by(found, Cause::residue).size(), 1U) << streaks_of(found);
    EXPECT_EQ(streaks_by(found, Cause::blade_haze).size(), 1U) << streaks_of(found);
    EXPECT_GT(probability_of(found, "1", Side::right), 0.9) << seed;
  }
}

}  // namespace
}  // namespace scrapetrace
