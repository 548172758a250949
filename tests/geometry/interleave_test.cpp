// The interleave against arithmetic worked by hand and against plain enumeration.

#include <gtest/gtest.h>

#include <map>
#include <numeric>
#include <ostream>

#include "geometry/column_map.h"
#include "machines.h"

namespace scrapetrace::geometry {
namespace {

struct Worked {
  int pitch, step, first_jet, column, pass, jet;
};
void PrintTo(const Worked& w, std::ostream* out) {
  *out << "pitch " << w.pitch << " step " << w.step << " column " << w.column;
}

class InterleaveByHand : public ::testing::TestWithParam<Worked> {};

// x = x0 + N j + p s solved by hand: r = (x - x0) mod N, p = r s^-1 mod N, j = (x - x0 - p s) / N.
TEST_P(InterleaveByHand, ColumnHasThePassAndJetOfTheInverse) {
  const Worked w = GetParam();
  const Layout layout = testing::one_head(w.pitch, w.step, w.first_jet, 200);
  const Owner owner = ColumnMap(layout).owner(w.column);
  EXPECT_EQ(owner.head, 0);
  EXPECT_EQ(owner.pass, w.pass);
  EXPECT_EQ(owner.jet, w.jet);
}

INSTANTIATE_TEST_SUITE_P(Interleave, InterleaveByHand,
                         ::testing::Values(Worked{10, 3, 0, 1234, 8, 121}, Worked{8, 3, 5, 777, 4, 95},
                                           Worked{12, 7, 0, 1000, 4, 81}));

TEST(Interleave, ColumnBeforeTheFirstJetHasNoOwner) {
  // (6, 5, x0 = 2): column 1 would need jet -1.
  EXPECT_TRUE(ColumnMap(testing::one_head(6, 5, 2, 200)).owner(1).nobody());
}

TEST(Interleave, PassOfResidueIsTheModularInverse) {
  using Passes = std::vector<int>;
  EXPECT_EQ(pass_of_residue(testing::one_head(10, 3, 0, 9).interleave, 1),
            (Passes{0, 7, 4, 1, 8, 5, 2, 9, 6, 3}));
  EXPECT_EQ(pass_of_residue(testing::one_head(8, 3, 0, 9).interleave, 1), (Passes{0, 3, 6, 1, 4, 7, 2, 5}));
  EXPECT_EQ(pass_of_residue(testing::one_head(8, 5, 0, 9).interleave, 1), (Passes{0, 5, 2, 7, 4, 1, 6, 3}));
}

TEST(Interleave, ReversedTravelReversesTheResidues) {
  const auto interleave = testing::one_head(10, 3, 0, 9).interleave;
  const auto forth = pass_of_residue(interleave, 1);
  const auto back = pass_of_residue(interleave, -1);
  for (std::size_t r = 0; r < 10; ++r) EXPECT_EQ(back[(10 - r) % 10], forth[r]);
}

// All columns are laid once iff pitch and step share no divisor.
TEST(Interleave, CompleteExactlyWhenPitchAndStepAreCoprime) {
  for (int pitch = 1; pitch <= 24; ++pitch) {
    for (int step = 1; step <= 24; ++step) {
      const auto passes = pass_of_residue(testing::one_head(pitch, step, 0, 2).interleave, 1);
      const bool complete = std::all_of(passes.begin(), passes.end(), [](int p) { return p >= 0; });
      EXPECT_EQ(complete, std::gcd(pitch, step) == 1) << pitch << ", " << step;
    }
  }
}

TEST(Interleave, MarksResiduesThatNobodyOrSeveralPassesLay) {
  const auto passes = pass_of_residue(testing::one_head(6, 4, 0, 2).interleave, 1);
  EXPECT_EQ(passes, (std::vector<int>{-2, -1, -2, -1, -2, -1}));
}

TEST(Interleave, CoveredRangeIsWhereEnumerationLaysEveryColumnOnce) {
  for (unsigned seed = 1; seed <= 60; ++seed) {
    const Layout layout = testing::random_machine(seed);
    for (const Head& head : layout.heads) {
      std::map<int, int> times;
      for (int k = 0; k < layout.passes(); ++k) {
        for (int i = 0; i < head.jets; ++i) {
          ++times[head.first_jet_px + i * layout.interleave.jet_pitch_px + layout.shift_of(head.carriage, k)];
        }
      }
      const ColumnRange covered = covered_columns(layout, head);
      ASSERT_FALSE(covered.empty());
      for (int c = covered.first; c <= covered.last; ++c)
        ASSERT_EQ(times[c], 1) << "seed " << seed << " column " << c;
    }
  }
}

}  // namespace
}  // namespace scrapetrace::geometry
