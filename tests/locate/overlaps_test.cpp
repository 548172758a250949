// Scrapes whose profiles overlap on the drum.

#include <gtest/gtest.h>

#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::find;
using testing::noisy_scan;
using testing::only;
using testing::probability_of;
using testing::residue_at;
using testing::streaks_by;
using testing::two_way_machine;

struct Pair {
  double outward_1_mm;  // of head 1, right side
  double width_1_mm;
  double loss_1;
  double outward_2_mm;  // of head 2, left side
  double width_2_mm;
  double loss_2;
};

class Overlaps : public ::testing::TestWithParam<Pair> {};

// Two heads on carriages that travel opposite ways: each streak's ramp lies under the other one.
TEST_P(Overlaps, BothPlacesAreFound) {
  const Layout layout = two_way_machine();
  const Pair p = GetParam();
  const Residue first = residue_at(layout, 0, Side::right, p.outward_1_mm, p.width_1_mm, p.loss_1);
  const Residue second = residue_at(layout, 1, Side::left, p.outward_2_mm, p.width_2_mm, p.loss_2, false);
  Causes causes = only(first);
  causes.residues.push_back(second);
  const Findings found = find(layout, causes, noisy_scan(41, 400));
  const auto scrapes = streaks_by(found, Cause::residue);
  ASSERT_EQ(scrapes.size(), 2U);
  EXPECT_EQ(found.streaks.size(), 2U);
  for (const Residue& truth : {first, second}) {
    const auto& carriage = layout.carriages[truth.carriage].name;
    const auto own = std::find_if(scrapes.begin(), scrapes.end(),
                                  [&](const Streak& s) { return s.residue->carriage == carriage; });
    ASSERT_NE(own, scrapes.end()) << carriage;
    EXPECT_NEAR(own->residue->x_drum_mm, truth.x_mm + truth.width_mm / 2, 0.12) << carriage;
    EXPECT_NEAR(own->residue->width_mm, truth.width_mm, 0.15) << carriage;
    EXPECT_NEAR(own->residue->loss, truth.loss, 0.1) << carriage;
  }
  EXPECT_GT(probability_of(found, "1", Side::right), 0.9);
  EXPECT_GT(probability_of(found, "2", Side::left), 0.9);
}

// Footprints from 62.5 to 64.5 mm and from 62.3 to 64.1 mm; then with ends of one inside the other.
INSTANTIATE_TEST_SUITE_P(Overlaps, Overlaps,
                         ::testing::Values(Pair{0.6, 1.2, 0.4, -1.6, 1.0, 0.5},
                                           Pair{1.0, 0.5, 0.6, -2.2, 0.6, 0.3},
                                           Pair{0.2, 0.8, 0.25, -0.6, 1.5, 0.25}));

}  // namespace
}  // namespace scrapetrace
