// Who owns which column, at seams, holes and the drum's ends.

#include <gtest/gtest.h>

#include <set>

#include "geometry/column_map.h"
#include "machines.h"

namespace scrapetrace::geometry {
namespace {

// Two heads of pitch 4 that both cover columns 100 to `to`.
Layout two_heads(int to) {
  Layout layout = testing::one_head(4, 1, 0, 0);
  layout.carriages.push_back({"second", 60, 0, 1});
  // Covered: first_jet + 3 to first_jet + (jets - 1) * 4.
  layout.heads = {{"left", 0, to - 4 * 40, 41, false}, {"right", 1, 97, 60, false}};
  layout.drum.width_mm = 400;
  return layout;
}

TEST(Ownership, LeftHeadOwnsTheMiddleColumnOfTheOverlap) {
  for (const auto& [to, seam] : {std::pair{100, 100}, {101, 100}, {102, 101}, {110, 105}, {111, 105}}) {
    const ColumnMap map(two_heads(to));
    ASSERT_EQ(map.seams().size(), 1U);
    EXPECT_EQ(map.seams()[0].from, 100);
    EXPECT_EQ(map.seams()[0].to, to);
    EXPECT_EQ(map.seams()[0].seam, seam);
    EXPECT_EQ(map.owner(seam).head, 0);
    EXPECT_EQ(map.owner(seam + 1).head, 1);
  }
}

TEST(Ownership, HeadsOfCarriagesThatStandOffLeaveAGapOrAnOverlap) {
  Layout layout = two_heads(105);
  EXPECT_TRUE(stand_offs(layout, ColumnMap(layout)).empty());
  for (const double gap_mm : {0.07, -0.07}) {
    layout.carriages[1].offset_mm = layout.carriages[0].offset_mm + gap_mm;
    const auto ends = stand_offs(layout, ColumnMap(layout));
    ASSERT_EQ(ends.size(), 1U);
    EXPECT_NEAR(ends[0].gap_mm(), gap_mm, 1e-12);
    EXPECT_NEAR(ends[0].left_mm, 103 * layout.px_mm() + layout.carriages[0].offset_mm, 1e-12);
  }
}

TEST(Ownership, HeadsThatJustMeetMayStandOffAsWell) {
  Layout layout = two_heads(99);
  layout.carriages[1].offset_mm = layout.carriages[0].offset_mm + 0.05;
  const auto ends = stand_offs(layout, ColumnMap(layout));
  ASSERT_EQ(ends.size(), 1U);
  EXPECT_NEAR(ends[0].left_mm, 100 * layout.px_mm() + layout.carriages[0].offset_mm, 1e-12);
  EXPECT_NEAR(ends[0].gap_mm(), 0.05, 1e-12);
  EXPECT_TRUE(stand_offs(two_heads(90), ColumnMap(two_heads(90))).empty());
}

TEST(Ownership, HeadsThatJustMeetHaveNeitherSeamNorHole) {
  const ColumnMap map(two_heads(99));
  EXPECT_TRUE(map.seams().empty());
  EXPECT_TRUE(map.holes().empty());
}

TEST(Ownership, ColumnsBetweenHeadsAreAHole) {
  const ColumnMap map(two_heads(96));
  ASSERT_EQ(map.holes().size(), 1U);
  EXPECT_EQ(map.holes()[0].from, 97);
  EXPECT_EQ(map.holes()[0].to, 99);
  EXPECT_TRUE(map.owner(98).nobody());
}

TEST(Ownership, NobodyOwnsColumnsOffTheDrum) {
  Layout layout = two_heads(105);
  layout.drum.width_mm = 120;
  const ColumnMap map(layout);
  EXPECT_EQ(map.columns(), 120);
  EXPECT_FALSE(map.owner(119).nobody());
  EXPECT_TRUE(map.owner(120).nobody());
  EXPECT_TRUE(map.owner(-1).nobody());
  EXPECT_EQ(map.printed().last, 119);
}

// An owner must really reach its column: jet, pass and head satisfy the model's equation, and no printed
// column lacks an owner.
TEST(Ownership, EveryPrintedColumnHasOneOwnerThatReachesIt) {
  for (unsigned seed = 1; seed <= 80; ++seed) {
    const Layout layout = testing::random_machine(seed);
    const ColumnMap map(layout);
    ASSERT_TRUE(map.holes().empty()) << "seed " << seed;
    for (int c = map.printed().first; c <= map.printed().last; ++c) {
      const Owner owner = map.owner(c);
      ASSERT_FALSE(owner.nobody()) << "seed " << seed << " column " << c;
      const Head& head = layout.heads[static_cast<std::size_t>(owner.head)];
      ASSERT_GE(owner.jet, 0);
      ASSERT_LT(owner.jet, head.jets);
      ASSERT_EQ(head.first_jet_px + owner.jet * layout.interleave.jet_pitch_px +
                    layout.shift_of(head.carriage, owner.pass),
                c);
    }
  }
}

TEST(Ownership, JetsShareOutTheColumnsOfTheirHead) {
  for (unsigned seed = 1; seed <= 30; ++seed) {
    const Layout layout = testing::random_machine(seed);
    const ColumnMap map(layout);
    std::multiset<int> columns;
    for (std::size_t h = 0; h < layout.heads.size(); ++h) {
      for (int jet = 0; jet < layout.heads[h].jets; ++jet) {
        for (const int c : columns_of_jet(layout, map, h, jet)) columns.insert(c);
      }
    }
    std::multiset<int> expected;
    for (int c = map.printed().first; c <= map.printed().last; ++c) expected.insert(c);
    EXPECT_EQ(columns, expected) << "seed " << seed;
  }
}

TEST(Ownership, DeadJetIsACombOfOneColumnPerPass) {
  // (pitch, step) = (10, 3), jet 5: columns 50, 53, ..., 77, of which all lie inside the head.
  const Layout layout = testing::one_head(10, 3, 0, 60);
  const ColumnMap map(layout);
  EXPECT_EQ(columns_of_jet(layout, map, 0, 5), (std::vector<int>{50, 53, 56, 59, 62, 65, 68, 71, 74, 77}));
}

}  // namespace
}  // namespace scrapetrace::geometry
