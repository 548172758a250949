#include <gtest/gtest.h>

#include "files.h"
#include "geometry/contact.h"
#include "geometry/zones.h"
#include "scrapetrace/layout_description.h"

namespace scrapetrace {
namespace {

using layout::describe_layout;

const std::vector<std::string> kMachines{"hobdrel", "quennip", "tavvick"};

// By hand from the model: head 1 covers 80 + 27 to 80 + 1270, head 2 1341 to 2584; both cover 1341 to 1350,
// the seam is column (1341 + 1350) / 2 = 1345.
TEST(DescribeLayout, HobdrelByHand) {
  const auto d = describe_layout(test::good_layout("hobdrel"));
  EXPECT_EQ(d.drum_columns, 5196);
  EXPECT_EQ(d.first_column, 107);
  EXPECT_EQ(d.last_column, 5052);
  EXPECT_EQ(d.printed_columns, 4946);
  EXPECT_NEAR(d.printed_drum_mm.from_mm, 107 * 0.0635, 1e-9);
  EXPECT_NEAR(d.printed_sheet_mm.from_mm, 325 - 5053 * 0.0635, 1e-9);
  ASSERT_EQ(d.seams.size(), 3U);
  EXPECT_EQ(d.seams[0].from_column, 1341);
  EXPECT_EQ(d.seams[0].to_column, 1350);
  EXPECT_EQ(d.seams[0].seam_column, 1345);
  EXPECT_NEAR(d.seams[0].sheet_mm, 325 - 1346 * 0.0635, 1e-9);
  ASSERT_EQ(d.carriages.size(), 2U);
  EXPECT_EQ(d.carriages[0].carriage, 0U);
  EXPECT_NEAR(d.carriages[0].travel_mm.to_mm, 27 * 0.0635, 1e-9);
  EXPECT_EQ(d.carriages[1].heads, (std::vector<std::size_t>{1, 3}));
  // Head 1's right edge is column 1350, head 2's left edge 1314; faceplates reach 7 mm outward and 6 mm
  // inward.
  ASSERT_EQ(d.overlaps.size(), 3U);
  EXPECT_EQ(d.overlaps[0].head_a, 0U);
  EXPECT_EQ(d.overlaps[0].head_b, 1U);
  EXPECT_NEAR(d.overlaps[0].drum_mm.from_mm, 1350.5 * 0.0635 - 6, 1e-9);
  EXPECT_NEAR(d.overlaps[0].drum_mm.to_mm, 1314.5 * 0.0635 + 6, 1e-9);
}

TEST(DescribeLayout, HeadsShareOutThePrintedColumns) {
  for (const auto& machine : kMachines) {
    const Layout layout = test::good_layout(machine);
    const auto d = describe_layout(layout);
    ASSERT_EQ(d.heads.size(), layout.heads.size());
    int next = d.first_column;
    for (const auto& head : d.heads) {
      EXPECT_EQ(head.first_column, next);
      next = head.last_column + 1;
    }
    EXPECT_EQ(next, d.last_column + 1);
    EXPECT_EQ(d.printed_columns, d.last_column - d.first_column + 1);
  }
}

TEST(DescribeLayout, CarriagesComeInTheOrderOfTheirAngles) {
  for (const auto& machine : kMachines) {
    Layout layout = test::good_layout(machine);
    std::swap(layout.carriages[0].angle_deg, layout.carriages[1].angle_deg);
    const auto d = describe_layout(layout);
    for (std::size_t i = 1; i < d.carriages.size(); ++i) {
      EXPECT_LT(layout.carriages[d.carriages[i - 1].carriage].angle_deg,
                layout.carriages[d.carriages[i].carriage].angle_deg);
    }
  }
}

// All pairs of targets, one by one, against the list of overlaps.
TEST(DescribeLayout, OverlapsAreAllPairsThatShareDrum) {
  for (const auto& machine : kMachines) {
    const Layout layout = test::good_layout(machine);
    const auto zones = geometry::target_zones(layout);
    std::size_t pairs = 0;
    for (std::size_t i = 0; i < zones.size(); ++i) {
      for (std::size_t j = i + 1; j < zones.size(); ++j) {
        const double shared =
            std::min(zones[i].to_mm, zones[j].to_mm) - std::max(zones[i].from_mm, zones[j].from_mm);
        pairs += shared > 1e-6 ? 1 : 0;
      }
    }
    EXPECT_GT(pairs, 0U);
    EXPECT_EQ(describe_layout(layout).overlaps.size(), pairs) << machine;
  }
}

// Against the forward model: two contacts are alike exactly when they touch every column equally often.
TEST(DescribeLayout, AlikeContactsTouchEveryColumnEquallyOften) {
  for (const auto& machine : kMachines) {
    const Layout layout = test::good_layout(machine);
    const geometry::ColumnMap map(layout);
    for (const auto& overlap : describe_layout(layout).overlaps) {
      const double x = (overlap.drum_mm.from_mm + overlap.drum_mm.to_mm) / 2;
      for (const bool down_a : {false, true}) {
        for (const bool down_b : {false, true}) {
          const auto a =
              geometry::count_touches(layout, map, {layout.heads[overlap.head_a].carriage, down_a, x, 1.0});
          const auto b =
              geometry::count_touches(layout, map, {layout.heads[overlap.head_b].carriage, down_b, x, 1.0});
          bool equal = true;
          for (int c = 0; c < map.columns(); ++c) equal = equal && a.at(c) == b.at(c);
          const bool listed = std::find(overlap.alike.begin(), overlap.alike.end(),
                                        std::pair(down_a, down_b)) != overlap.alike.end();
          EXPECT_EQ(listed, equal) << machine << " at " << x << " mm " << down_a << down_b;
        }
      }
    }
  }
}

TEST(DescribeLayout, TheMachinesShowEachKindOfOverlap) {
  bool same_carriage = false;
  bool opposite = false;
  bool order_only = false;
  for (const auto& machine : kMachines) {
    for (const auto& overlap : describe_layout(test::good_layout(machine)).overlaps) {
      same_carriage = same_carriage || overlap.same_carriage;
      opposite = opposite || !overlap.same_travel;
      order_only = order_only || (overlap.same_travel && !overlap.same_carriage && overlap.alike.size() == 1);
    }
  }
  EXPECT_TRUE(same_carriage);
  EXPECT_TRUE(opposite);
  EXPECT_TRUE(order_only);
}

}  // namespace
}  // namespace scrapetrace
