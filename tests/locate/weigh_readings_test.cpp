// A mirrored scan without a mark looks upright but for its streaks. They may say that nobody can tell, and no
// more.

#include "locate/weigh_readings.h"

#include <gtest/gtest.h>

#include <cmath>

namespace scrapetrace::locate_detail {
namespace {

const std::vector<double> kUprightOrMirrored = {0.9995, 0.0005};

TEST(WeighReadings, AMirroredStreakIsLeftOpen) {
  const auto p = weigh_readings(kUprightOrMirrored, {{1.7, 570}, {1.0, 570}});
  EXPECT_DOUBLE_EQ(p[0], 0.5);
  EXPECT_DOUBLE_EQ(p[1], 0.5);
}

// 1.24 against 1.2 of 300: e^4.8 of 2000.
TEST(WeighReadings, AStreakThatFitsALittleBetterMirroredIsHeardALittle) {
  const auto p = weigh_readings(kUprightOrMirrored, {{1.24, 300}, {1.2, 300}});
  EXPECT_NEAR(p[1] / p[0], 0.0005 / 0.9995 * std::exp(0.5 * 300 * 0.04 / 1.24), 1e-9);
}

TEST(WeighReadings, AnUprightStreakIsNeverReadMirrored) {
  for (const double mirrored : {1.0, 1.1, 40.0}) {
    const auto p = weigh_readings(kUprightOrMirrored, {{1.1, 500}, {mirrored, 500}});
    EXPECT_GE(p[0], p[1]) << mirrored;
  }
  EXPECT_EQ(weigh_readings(kUprightOrMirrored, {{1.1, 500}, {40, 500}}), kUprightOrMirrored);
}

TEST(WeighReadings, NobodyWaitsForAWayThatCouldNotShow) {
  EXPECT_FALSE(worth_reading(0.0005, 0.9995, {}));
  EXPECT_FALSE(worth_reading(0.0005, 0.9995, {1.01, 300}));
  EXPECT_TRUE(worth_reading(0.0005, 0.9995, {1.3, 300}));
  EXPECT_TRUE(worth_reading(0.2, 0.8, {}));
}

}  // namespace
}  // namespace scrapetrace::locate_detail
