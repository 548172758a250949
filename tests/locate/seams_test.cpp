// A carriage that stands beside where the layout has it: gaps and overlaps at its seams.

#include <gtest/gtest.h>

#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::bench_machine;
using testing::find;
using testing::noisy_scan;
using testing::only;
using testing::probability_of;
using testing::residue_at;
using testing::streaks_by;
using testing::two_way_machine;

class Seams : public ::testing::TestWithParam<double> {};

TEST_P(Seams, AreNamedWithTheirHeads) {
  const double offset_mm = GetParam();  // of carriage "low", whose head stands to the right of the seam
  Causes causes;
  causes.shifts = {{1, offset_mm}};
  for (const Layout& layout : {two_way_machine(), bench_machine(true)}) {
    const Findings found = find(layout, causes, noisy_scan(31));
    const auto seams = streaks_by(found, Cause::seam_mismatch);
    ASSERT_EQ(seams.size(), 1U) << layout.name << ": " << testing::streaks_of(found);
    EXPECT_EQ(found.streaks.size(), 1U);
    ASSERT_TRUE(seams[0].seam.has_value());
    EXPECT_EQ(seams[0].seam->left_head, "1");
    EXPECT_EQ(seams[0].seam->right_head, "2");
    EXPECT_NEAR(seams[0].seam->gap_mm, offset_mm, 0.015);
    EXPECT_TRUE(found.targets.empty());
  }
}

INSTANTIATE_TEST_SUITE_P(GapsAndOverlaps, Seams, ::testing::Values(0.12, 0.05, -0.05, -0.12));

// A layout that has the offset says what the print shows: nothing is wrong.
TEST(Seams, AnOffsetThatTheLayoutHasIsNoFinding) {
  for (const double offset_mm : {0.08, -0.08}) {
    Layout layout = two_way_machine();
    layout.carriages[1].offset_mm = offset_mm;
    const Findings found = find(layout, Causes{}, noisy_scan(32));
    EXPECT_TRUE(found.streaks.empty()) << testing::streaks_of(found) << offset_mm;
  }
}

// Nor is it one whose width is another's: a layout that knows of some offset has more of it, or less.
TEST(Seams, AnOffsetBesideTheLayoutsIsNamed) {
  for (const double known_mm : {0.06, -0.06}) {
    for (const double off_mm : {0.3, 0.15, -0.15, -0.3}) {
      Layout layout = two_way_machine();
      layout.carriages[1].offset_mm = known_mm;
      Causes causes;
      causes.shifts = {{1, off_mm}};
      const Findings found = find(layout, causes, noisy_scan(34));
      const auto seams = streaks_by(found, Cause::seam_mismatch);
      ASSERT_EQ(seams.size(), 1U) << known_mm << " " << off_mm << ": " << testing::streaks_of(found);
      ASSERT_TRUE(seams[0].seam.has_value());
      EXPECT_NEAR(seams[0].seam->gap_mm, known_mm + off_mm, 0.03) << known_mm << " " << off_mm;
      EXPECT_TRUE(found.targets.empty());
    }
  }
}

// A jet's comb is not where the layout has it: what cannot be told from a contact is no target.
TEST(Seams, ADeadJetOfAHeadThatStandsOffIsNoTarget) {
  const Layout layout = two_way_machine();
  for (const double off_mm : {0.16, 0.3, -0.22}) {
    for (const int head : {0, 1}) {
      Causes causes;
      causes.shifts = {{1, off_mm}};
      causes.jets = {{static_cast<std::size_t>(head), 0, 90, 0.9}};
      const Findings found = find(layout, causes, noisy_scan(35, 600));
      for (const Target& target : found.targets) EXPECT_LT(target.probability, 0.2) << off_mm << " " << head;
    }
  }
}

// What a scrape takes at the seam is its own.
TEST(Seams, AScrapeAtTheSeamIsNoMismatch) {
  const Layout layout = two_way_machine();
  for (const double width_mm : {0.15, 0.7}) {
    const Findings found =
        find(layout, only(residue_at(layout, 0, Side::right, 0, width_mm, 0.5)), noisy_scan(33));
    EXPECT_TRUE(streaks_by(found, Cause::seam_mismatch).empty()) << width_mm;
    EXPECT_GT(probability_of(found, "1", Side::right), 0.9) << width_mm;
  }
}

}  // namespace
}  // namespace scrapetrace
