// Order statistics, against hand-worked cases.

#include "base/robust.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>

#include "base/nth_value.h"

namespace scrapetrace {
namespace {

TEST(Median, IsTheMiddleOrTheUpperOfTwo) {
  EXPECT_EQ(median(std::vector<double>{}), 0);
  EXPECT_EQ(median(std::vector<double>{7}), 7);
  EXPECT_EQ(median(std::vector<double>{9, -1, 4}), 4);
  EXPECT_EQ(median(std::vector<double>{1, 8, 3, 2}), 3);
}

// Many values take another way than few; some of these draw a poor guess of where the middle lies.
TEST(NthValue, OfManyIsTheOneAtItsPlaceInTheirOrder) {
  std::mt19937_64 random(11);
  std::normal_distribution<double> normal;
  for (const std::size_t n : {std::size_t{511}, std::size_t{512}, std::size_t{1025}, std::size_t{30000}}) {
    std::vector<std::vector<double>> cases(6, std::vector<double>(n));
    for (std::size_t i = 0; i < n; ++i) {
      cases[0][i] = normal(random);
      cases[1][i] = static_cast<double>(i);
      cases[2][i] = 3;
      cases[3][i] = i % 2 == 0 ? -1 : 1;
      cases[4][i] = std::exp(9 * normal(random));
      cases[5][i] = i % 64 == 0 ? 1e9 : static_cast<double>(i % 7);
    }
    for (std::size_t k = 0; k < n; k += (n - 1) / 64) cases[0][k] = -1e9;  // every value that is drawn
    for (const auto& values : cases) {
      auto sorted = values;
      std::sort(sorted.begin(), sorted.end());
      EXPECT_EQ(median(values), sorted[n / 2]) << n;
      for (const std::size_t k : {std::size_t{0}, n / 100, n - n / 100, n - 1})
        EXPECT_EQ(nth_value(values, k), sorted[k]) << n << " " << k;
      const double centre = sorted[n / 3];
      for (double& v : sorted) v = std::abs(v - centre);
      std::sort(sorted.begin(), sorted.end());
      for (const std::size_t k : {std::size_t{0}, n / 2, n - n / 100, n - 1})
        EXPECT_EQ(nth_distance(values, centre, k), sorted[k]) << n << " " << k;
    }
  }
}

TEST(RobustSigma, IsThatOfAGaussianAndIgnoresAFewStreaks) {
  EXPECT_DOUBLE_EQ(robust_sigma(std::vector<double>{1, 2, 3, 4, 100}, 3), 1.4826);
  std::mt19937_64 random(5);
  std::normal_distribution<double> normal(10, 0.5);
  std::vector<double> values(20000);
  for (double& v : values) v = normal(random);
  // The MAD's standard error is 1.167 sigma / sqrt(n) (its efficiency is 36.7 %; Rousseeuw and Croux 1993,
  // from memory): four of them.
  const double bound = 4 * 1.167 * 0.5 / std::sqrt(20000.0);
  EXPECT_NEAR(robust_sigma(values, median(values)), 0.5, bound);
  for (std::size_t i = 0; i < 400; ++i) values[i] = 1e6;  // two in a hundred
  EXPECT_NEAR(robust_sigma(values, median(values)), 0.5, 0.025 * 0.5 + bound);
}

TEST(RunningMedian, IsTheMedianOfEachWindowAndCutsWindowsAtTheEnds) {
  const std::vector<double> values = {5, 1, 9, 2, 2, 8, 0, 7};
  for (const std::size_t reach : {std::size_t{0}, std::size_t{1}, std::size_t{3}, std::size_t{20}}) {
    const auto smooth = running_median(values, reach);
    ASSERT_EQ(smooth.size(), values.size());
    for (std::size_t i = 0; i < values.size(); ++i) {
      std::vector<double> window;
      for (std::size_t k = 0; k < values.size(); ++k) {
        if (k + reach >= i && k <= i + reach) window.push_back(values[k]);
      }
      std::sort(window.begin(), window.end());
      EXPECT_EQ(smooth[i], window[window.size() / 2]) << reach << " " << i;
    }
  }
}

TEST(RunningMedian, IsTheSameOnAnyNumberOfThreads) {
  std::mt19937_64 random(8);
  std::normal_distribution<double> normal;
  std::vector<double> values(5000);
  for (double& v : values) v = normal(random);
  const std::vector<double> smooth = running_median(values, 40, 3);
  EXPECT_EQ(running_median(values, 40, 1), smooth);
  for (const std::size_t i : {2047U, 2048U, 4096U}) {
    std::vector<double> window(values.begin() + i - 40, values.begin() + i + 41);
    std::sort(window.begin(), window.end());
    EXPECT_EQ(smooth[i], window[40]) << i;
  }
}

TEST(RunningMedian, LeavesOutWhatIsNoNumber) {
  const double none = std::numeric_limits<double>::quiet_NaN();
  const auto smooth = running_median({5, none, 1, 3, none, none, none, 8}, 1);
  EXPECT_EQ(smooth[0], 5);
  EXPECT_EQ(smooth[1], 5);  // of 1 and 5 the upper one
  EXPECT_EQ(smooth[2], 3);
  EXPECT_EQ(smooth[3], 3);
  EXPECT_EQ(smooth[4], 3);
  EXPECT_TRUE(std::isnan(smooth[5]));
  EXPECT_EQ(smooth[6], 8);
  EXPECT_EQ(smooth[7], 8);
}

}  // namespace
}  // namespace scrapetrace
