// Two causes over each other: each alone misses by far, and what the first one is fitted to is both.

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

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

// Two scrapes of two heads in one gap, whose streaks share a half of their width and more: what one contact
// is fitted to is both, and each is told from the other only with both about where they are.
TEST(OverlaidCauses, TwoScrapesOverEachOtherAreBothNamed) {
  const Layout layout = testing::bench_machine();  // both carriages travel the same way
  for (const double apart_mm : {0.35, 0.6, -0.5}) {
    for (std::uint64_t seed = 1; seed <= 2; ++seed) {
      Causes causes = only(residue_at(layout, 0, Side::right, 0.9, 0.6, 0.35));
      Residue second = causes.residues.front();
      second.carriage = 1;
      second.x_mm += apart_mm;
      second.width_mm = 0.45;
      second.loss = 0.55;
      causes.residues.push_back(second);
      const Findings found = find(layout, causes, noisy_scan(300 + seed, 400));
      const auto scrapes = streaks_by(found, Cause::residue);
      ASSERT_EQ(scrapes.size(), 2U) << apart_mm << ", " << seed << ": " << streaks_of(found);
      // Several pairs of contacts draw nearly the same ramp; what they cover together is what is covered.
      const auto [left, right] = std::minmax(scrapes[0], scrapes[1], [](const Streak& a, const Streak& b) {
        return a.residue->x_drum_mm - 0.5 * a.residue->width_mm <
               b.residue->x_drum_mm - 0.5 * b.residue->width_mm;
      });
      EXPECT_NEAR(left.residue->x_drum_mm - 0.5 * left.residue->width_mm,
                  std::min(causes.residues[0].x_mm, second.x_mm), 0.1)
          << apart_mm << ", " << seed;
      EXPECT_NEAR(std::max(right.residue->x_drum_mm + 0.5 * right.residue->width_mm,
                           left.residue->x_drum_mm + 0.5 * left.residue->width_mm),
                  std::max(causes.residues[0].x_mm + 0.6, second.x_mm + 0.45), 0.1)
          << apart_mm << ", " << seed;
    }
  }
}

// One scrape stays one, however strong it is and however steep its ends are.
TEST(OverlaidCauses, OneStrongScrapeIsNotTakenForTwo) {
  const Layout layout = testing::bench_machine();
  for (const double width_mm : {0.4, 1.1, 2.3}) {
    for (const double loss : {0.3, 0.8}) {
      const Findings found =
          find(layout, only(residue_at(layout, 0, Side::right, 0.9, width_mm, loss)), noisy_scan(310, 600));
      EXPECT_EQ(found.streaks.size(), 1U) << width_mm << ", " << loss << ": " << streaks_of(found);
    }
  }
}

}  // namespace
}  // namespace scrapetrace
