#include "base/intervals.h"

#include <gtest/gtest.h>

namespace scrapetrace {
namespace {

TEST(Joined, MakesOneOfThoseThatMeetOrTouch) {
  const auto out = joined({{7, 9}, {1, 3}, {2, 5}, {5, 6}, {2, 2.5}});
  ASSERT_EQ(out.size(), 2U);
  EXPECT_EQ(out[0].from_mm, 1);
  EXPECT_EQ(out[0].to_mm, 6);
  EXPECT_EQ(out[1].from_mm, 7);
  EXPECT_EQ(out[1].to_mm, 9);
  EXPECT_TRUE(joined({}).empty());
}

}  // namespace
}  // namespace scrapetrace
