// Cases shared out over machines.

#include "triage/shard.h"

#include <gtest/gtest.h>

#include <cmath>

namespace scrapetrace::triage {
namespace {

TEST(Shard, IsWrittenAsOneOfSeveral) {
  const auto shard = shard_of("3/8");
  ASSERT_TRUE(shard);
  EXPECT_EQ(shard->index, 3);
  EXPECT_EQ(shard->count, 8);
  for (const char* wrong :
       {"", "3", "3/", "/8", "0/8", "9/8", "-1/8", "3/8x", "3 /8", "1/0", "1/100001", "a/b"})
    EXPECT_FALSE(shard_of(wrong)) << wrong;
}

TEST(Shard, EachCaseIsInExactlyOne) {
  for (const int count : {1, 2, 7, 64}) {
    std::vector<int> held(static_cast<std::size_t>(count), 0);
    for (int c = 0; c < 5000; ++c) {
      int holders = 0;
      for (int i = 1; i <= count; ++i) {
        if (!Shard{i, count}.holds("unit" + std::to_string(c))) continue;
        ++holders;
        ++held[static_cast<std::size_t>(i - 1)];
      }
      ASSERT_EQ(holders, 1) << c;
    }
    // Evenly: five binomial standard deviations.
    const double mean = 5000.0 / count;
    for (const int n : held) EXPECT_NEAR(n, mean, 5 * std::sqrt(mean) + 1e-9);
  }
}

}  // namespace
}  // namespace scrapetrace::triage
