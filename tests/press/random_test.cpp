// The random numbers against published values.

#include "press/random.h"

#include <gtest/gtest.h>

namespace scrapetrace::press {
namespace {

// First outputs of splitmix64 from state 1234567, as widely published with the algorithm (quoted from
// memory).
TEST(Random, MixIsSplitmix64) {
  EXPECT_EQ(mix(1234567), 6457827717110365317ULL);
  EXPECT_EQ(mix(1234567 + 0x9E3779B97F4A7C15ULL), 3203168211198807973ULL);
  EXPECT_EQ(mix(1234567 + 2 * 0x9E3779B97F4A7C15ULL), 9817491932198370423ULL);
}

// One-sided points of the normal distribution, as in any handbook's table.
TEST(Random, NormalQuantileMatchesTheTables) {
  EXPECT_NEAR(normal_quantile(1 - 1e-2), 2.3263, 5e-5);
  EXPECT_NEAR(normal_quantile(1 - 1e-3), 3.0902, 5e-5);
  EXPECT_NEAR(normal_quantile(1 - 1e-4), 3.7190, 5e-5);
  EXPECT_NEAR(normal_quantile(1e-6), -4.7534, 5e-5);
  EXPECT_NEAR(normal_quantile(0.5), 0, 1e-12);
}

TEST(Random, TableHasUnitVarianceAndIsSymmetric) {
  double squares = 0;
  const auto& table = normal_table();
  for (std::size_t i = 0; i < table.size(); ++i) {
    squares += double{table[i]} * double{table[i]};
    EXPECT_NEAR(table[i], -table[table.size() - 1 - i], 1e-6);
  }
  EXPECT_NEAR(squares / 4096, 1, 1e-6);
}

TEST(Random, StreamsAndSeedsDoNotMeet) {
  EXPECT_NE(key(1, Stream::grain), key(1, Stream::noise));
  EXPECT_NE(key(1, Stream::grain), key(2, Stream::grain));
  EXPECT_NE(key(1, Stream::grain, 0, 1), key(1, Stream::grain, 1, 0));
}

}  // namespace
}  // namespace scrapetrace::press
