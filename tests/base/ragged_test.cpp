#include "base/ragged.h"

#include <gtest/gtest.h>

namespace scrapetrace {
namespace {

TEST(Ragged, KeepsRowsApart) {
  Ragged<int> rows({2, 0, 3});
  ASSERT_EQ(rows.size(), 3U);
  EXPECT_TRUE(rows[1].empty());
  std::fill(rows[0].begin(), rows[0].end(), 7);
  std::fill(rows[2].begin(), rows[2].end(), 9);
  const Ragged<int>& same = rows;
  EXPECT_EQ(std::vector<int>(same[0].begin(), same[0].end()), (std::vector<int>{7, 7}));
  EXPECT_EQ(std::vector<int>(same[2].begin(), same[2].end()), (std::vector<int>{9, 9, 9}));
}

TEST(Ragged, TakesRowsOneByOne) {
  Ragged<int> rows;
  EXPECT_EQ(rows.size(), 0U);
  const std::vector<int> first{1, 2};
  rows.push_back(first);
  rows.push_back({});
  rows.push_back(first);
  ASSERT_EQ(rows.size(), 3U);
  EXPECT_EQ(rows[0].size(), 2U);
  EXPECT_TRUE(rows[1].empty());
  EXPECT_EQ(rows[2].back(), 2);
}

TEST(Ragged, TakesAnothersRows) {
  Ragged<int> rows;
  const std::vector<int> first{1, 2};
  rows.push_back(first);
  rows.append(Ragged<int>());
  Ragged<int> others;
  others.push_back({});
  others.push_back(std::vector<int>{3});
  rows.append(others);
  ASSERT_EQ(rows.size(), 3U);
  EXPECT_EQ(rows[0].back(), 2);
  EXPECT_TRUE(rows[1].empty());
  ASSERT_EQ(rows[2].size(), 1U);
  EXPECT_EQ(rows[2].front(), 3);
}

}  // namespace
}  // namespace scrapetrace
