// How likely the ways round are that a sheet can lie, before anything is seen.

#include "page/ways_round.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>

namespace scrapetrace::page {
namespace {

double sum(const std::vector<WayRound>& ways, bool mirrored) {
  return std::accumulate(ways.begin(), ways.end(), 0.0, [&](double so_far, const WayRound& way) {
    return so_far + (way.mirrored == mirrored ? way.prior : 0);
  });
}

// Common practice, no source: people turn one sheet in five, nobody mirrors one by accident.
TEST(WaysRound, AreAsLikelyAsPeopleLaySheets) {
  const auto ways = ways_round(false, {});
  ASSERT_EQ(ways.size(), 4U);
  EXPECT_NEAR(sum(ways, false) + sum(ways, true), 1, 1e-12);
  EXPECT_LT(sum(ways, true), 1e-3);
  EXPECT_GT(sum(ways, true), 1e-4);
  EXPECT_FALSE(ways.front().flip_u || ways.front().flip_v || ways.front().mirrored);
  const auto turned =
      std::find_if(ways.begin(), ways.end(), [](const WayRound& way) { return way.flip_v && !way.mirrored; });
  EXPECT_NEAR(turned->prior, 0.2, 0.001);
}

TEST(WaysRound, AcrossNeitherSideIsTheUsualOne) {
  const auto ways = ways_round(true, {});
  ASSERT_EQ(ways.size(), 4U);
  EXPECT_EQ(ways[0].prior, ways[1].prior);
}

TEST(WaysRound, AreThoseThatTheUserLeaves) {
  for (const bool mirrored : {false, true}) {
    const auto ways = ways_round(false, {std::nullopt, mirrored});
    ASSERT_EQ(ways.size(), 2U);
    EXPECT_NEAR(sum(ways, mirrored), 1, 1e-12);
    const auto one = ways_round(false, {ImageSide::bottom, mirrored});
    ASSERT_EQ(one.size(), 1U);
    EXPECT_EQ(one[0].prior, 1);
    EXPECT_TRUE(one[0].flip_v);
    EXPECT_EQ(one[0].mirrored, mirrored);
  }
  EXPECT_LT(sum(ways_round(false, {ImageSide::top, std::nullopt}), true), 1e-3);
}

}  // namespace
}  // namespace scrapetrace::page
