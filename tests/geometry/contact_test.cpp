// How often each column is touched: against a drum turned event by event, and against profiles worked by
// hand.

#include "geometry/contact.h"

#include <gtest/gtest.h>

#include <cmath>

#include "event_drum.h"
#include "machines.h"

namespace scrapetrace::geometry {
namespace {

Contact random_contact(const Layout& layout, std::mt19937& random) {
  std::uniform_real_distribution<double> at(-3, layout.drum.width_mm + 1);
  std::uniform_real_distribution<double> width(0.02, 3);
  std::uniform_int_distribution<std::size_t> carriage(0, layout.carriages.size() - 1);
  return {carriage(random), random() % 2 == 0, at(random), width(random)};
}

TEST(Contact, CountsEqualADrumTurnedEventByEvent) {
  int touched = 0;
  for (unsigned seed = 1; seed <= 150; ++seed) {
    const Layout layout = testing::random_machine(seed);
    const ColumnMap map(layout);
    std::mt19937 random(seed);
    for (int i = 0; i < 4; ++i) {
      const Contact contact = random_contact(layout, random);
      const TouchCounts counts = count_touches(layout, map, contact);
      testing::EventDrum drum(layout);
      drum.print(contact);
      for (int c = 0; c < map.columns(); ++c) {
        const double kept = map.owner(c).nobody() ? 0 : std::ldexp(1.0, -counts.at(c));
        ASSERT_EQ(kept, drum.ink()[static_cast<std::size_t>(c)]) << "seed " << seed << ", column " << c;
        touched += counts.at(c) > 0 ? 1 : 0;
      }
    }
  }
  EXPECT_GT(touched, 10000);  // the comparison saw real streaks
}

// Removed fraction per column when one contact removes everything, averaged over the phase between residue
// and jets; column 0 is the residue's left end at home.
std::vector<double> removed_over_phases(int pitch, int step, int width, bool downstream, int columns) {
  std::vector<double> removed(static_cast<std::size_t>(columns), 0.0);
  for (int phase = 0; phase < pitch; ++phase) {
    const Layout layout = testing::one_head(pitch, step, phase, 100);
    const ColumnMap map(layout);
    const int home = 400;
    const auto counts = count_touches(layout, map, {0, downstream, double(home), double(width)});
    for (int c = 0; c < columns; ++c) {
      removed[static_cast<std::size_t>(c)] += (counts.at(home + c) > 0 ? 1.0 : 0.0) / pitch;
    }
  }
  return removed;
}

// Worked by hand for (pitch, step, width) = (10, 3, 20): the last contact of column x is pass min(9, x / 3),
// so a ramp of 27 columns in steps of a tenth, a plateau on columns 27 to 46 at 0.9 upstream and 1
// downstream, and a sharp edge at 46|47 on the side of the travel.
TEST(Contact, ProfileIsARampAPlateauAndASharpEdge) {
  const auto upstream = removed_over_phases(10, 3, 20, false, 60);
  const auto downstream = removed_over_phases(10, 3, 20, true, 60);
  for (int x = 0; x < 60; ++x) {
    const int last_pass = std::min(9, x / 3);
    EXPECT_NEAR(upstream[static_cast<std::size_t>(x)], x <= 46 ? last_pass / 10.0 : 0, 1e-12) << x;
    EXPECT_NEAR(downstream[static_cast<std::size_t>(x)], x <= 46 ? (last_pass + 1) / 10.0 : 0, 1e-12) << x;
  }
}

// A residue one column wide touches, upstream, only ink of earlier passes: delta = (xh - x0) s^-1 mod N gaps
// at xh + p s for the last delta passes.
TEST(Contact, NarrowResidueLeavesATruncatedComb) {
  for (const auto& [pitch, step, inverse] : {std::array{10, 3, 7}, {8, 5, 5}, {12, 7, 7}}) {
    const Layout layout = testing::one_head(pitch, step, 0, 100);
    const ColumnMap map(layout);
    for (int home = 196; home < 196 + pitch; ++home) {
      const int delta = home * inverse % pitch;
      const auto counts = count_touches(layout, map, {0, false, double(home), 1.0});
      std::vector<int> gaps;
      for (int c = 0; c < map.columns(); ++c) {
        if (counts.at(c) > 0) gaps.push_back(c);
      }
      std::vector<int> expected;
      for (int p = pitch - delta; p < pitch; ++p) expected.push_back(home + p * step);
      EXPECT_EQ(gaps, expected) << pitch << ", " << home;
    }
  }
  EXPECT_EQ(196 * 7 % 10, 2);
}

TEST(Contact, EarlierCarriageIsTouchedInItsOwnPass) {
  Layout layout = testing::one_head(4, 1, 0, 20);
  layout.carriages = {{"early", 10, 0, 1}, {"late", 50, 0, 1}};
  for (const bool downstream : {false, true}) {
    EXPECT_TRUE(touches_after_laying(layout, 0, 1, downstream));
    EXPECT_FALSE(touches_after_laying(layout, 1, 0, downstream));
    EXPECT_EQ(touches_after_laying(layout, 0, 0, downstream), downstream);
  }
}

TEST(Contact, ContactOffTheDrumTouchesNothing) {
  const Layout layout = testing::one_head(4, 1, 0, 20);
  const ColumnMap map(layout);
  EXPECT_TRUE(count_touches(layout, map, {0, true, -500, 1}).n.empty());
  EXPECT_TRUE(count_touches(layout, map, {0, true, 5000, 1}).n.empty());
}

}  // namespace
}  // namespace scrapetrace::geometry
