// How likely the ways round are that a sheet can lie, before anything is seen.

#include "page/sheet_orientations.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>

namespace scrapetrace::page {
namespace {

double sum(const std::vector<SheetOrientation>& ways, bool mirrored) {
  return std::accumulate(ways.begin(), ways.end(), 0.0, [&](double so_far, const SheetOrientation& way) {
    return so_far + (way.mirrored == mirrored ? way.prior : 0);
  });
}

// Common practice, no source: people turn one sheet in five, nobody mirrors one by accident.
TEST(SheetOrientations, AreAsLikelyAsPeopleLaySheets) {
  const auto ways = sheet_orientations(false, {});
  ASSERT_EQ(ways.size(), 4U);
  EXPECT_NEAR(sum(ways, false) + sum(ways, true), 1, 1e-12);
  EXPECT_LT(sum(ways, true), 1e-3);
  EXPECT_GT(sum(ways, true), 1e-4);
  EXPECT_FALSE(ways.front().flip_u || ways.front().flip_v || ways.front().mirrored);
  const auto turned = std::find_if(ways.begin(), ways.end(),
                                   [](const SheetOrientation& way) { return way.flip_v && !way.mirrored; });
  EXPECT_NEAR(turned->prior, 0.2, 0.001);
}

TEST(SheetOrientations, AcrossNeitherSideIsTheUsualOne) {
  const auto ways = sheet_orientations(true, {});
  ASSERT_EQ(ways.size(), 4U);
  EXPECT_EQ(ways[0].prior, ways[1].prior);
}

TEST(SheetOrientations, AreThoseThatTheUserLeaves) {
  for (const bool mirrored : {false, true}) {
    const auto ways = sheet_orientations(false, {std::nullopt, mirrored});
    ASSERT_EQ(ways.size(), 2U);
    EXPECT_NEAR(sum(ways, mirrored), 1, 1e-12);
    const auto one = sheet_orientations(false, {ImageSide::bottom, mirrored});
    ASSERT_EQ(one.size(), 1U);
    EXPECT_EQ(one[0].prior, 1);
    EXPECT_TRUE(one[0].flip_v);
    EXPECT_EQ(one[0].mirrored, mirrored);
  }
  EXPECT_LT(sum(sheet_orientations(false, {ImageSide::top, std::nullopt}), true), 1e-3);
}

}  // namespace
}  // namespace scrapetrace::page
