// Order statistics and quantiles, against hand-worked cases, handbook tables and SciPy.

#include "base/robust.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>

#include "support/oracle.h"

namespace scrapetrace {
namespace {

TEST(Median, IsTheMiddleOrTheUpperOfTwo) {
  EXPECT_EQ(median({}), 0);
  EXPECT_EQ(median({7}), 7);
  EXPECT_EQ(median({9, -1, 4}), 4);
  EXPECT_EQ(median({1, 8, 3, 2}), 3);
}

TEST(RobustSigma, IsThatOfAGaussianAndIgnoresAFewStreaks) {
  EXPECT_DOUBLE_EQ(robust_sigma({1, 2, 3, 4, 100}, 3), 1.4826);
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

// Thresholds of the standard normal distribution as in statistical tables, and the level that one of n
// independent cells passes with probability 0.01: 1 - (1 - p)^n = 0.01.
TEST(GaussianQuantile, MatchesTables) {
  EXPECT_NEAR(gaussian_upper_quantile(1e-2), 2.3263, 5e-5);
  EXPECT_NEAR(gaussian_upper_quantile(1e-3), 3.0902, 5e-5);
  EXPECT_NEAR(gaussian_upper_quantile(1e-4), 3.7190, 5e-5);
  EXPECT_NEAR(gaussian_upper_quantile(1e-6), 4.7534, 5e-5);
  const auto page_level = [](double n) {
    return gaussian_upper_quantile(-std::expm1(std::log1p(-0.01) / n));
  };
  EXPECT_NEAR(page_level(1000), 4.2638, 5e-5);
  EXPECT_NEAR(page_level(7559), 4.6955, 5e-5);
  EXPECT_NEAR(page_level(60472), 5.1041, 5e-5);
}

// Threshold for one more Gaussian value after n reference values, in units of their standard deviation:
// t(n - 1) sqrt(1 + 1/n).
TEST(StudentQuantile, MatchesThresholdsOfAReferenceWindow) {
  struct Row {
    double n, e3, e4, e6;
  };
  for (const Row& row : {Row{16, 3.8477, 5.0302, 7.6941}, Row{32, 3.4272, 4.2809, 5.9190},
                         Row{64, 3.2498, 3.9806, 5.2780}, Row{128, 3.1679, 3.8454, 5.0029}}) {
    const auto threshold = [&](double p) {
      return student_upper_quantile(p, row.n - 1) * std::sqrt(1 + 1 / row.n);
    };
    EXPECT_NEAR(threshold(1e-3), row.e3, 1e-4);
    EXPECT_NEAR(threshold(1e-4), row.e4, 1e-4);
    EXPECT_NEAR(threshold(1e-6), row.e6, 1e-4);
  }
}

// Hill's series is exact for 1 and 2 degrees of freedom and poorest for 3 and 4.
constexpr double kGaussianError = 1e-9;
constexpr double kStudentError = 1e-4;
constexpr double kFewDegreesError = 5e-3;

TEST(Quantiles, AgreeWithScipy) {
  const auto rows = testing::ask_oracle("base/oracle.py", "");
  ASSERT_GE(rows.size(), 3U * 12 * 14);
  for (std::size_t i = 0; i + 2 < rows.size(); i += 3) {
    const double p = rows[i];
    const double degrees = rows[i + 1];
    const double expected = rows[i + 2];
    const double scale = std::max(1.0, std::abs(expected));
    if (degrees == 0) {
      EXPECT_NEAR(gaussian_upper_quantile(p), expected, kGaussianError * scale) << p;
    } else {
      const double bound = degrees > 2 && degrees < 5 ? kFewDegreesError : kStudentError;
      EXPECT_NEAR(student_upper_quantile(p, degrees), expected, bound * scale) << p << ", " << degrees;
    }
  }
}

// Percentage points of chi square, NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.4 (from
// memory).
TEST(ChiSquareQuantile, MatchesTables) {
  EXPECT_NEAR(chi_square_upper_quantile(0.05, 1), 3.841, 0.03 * 3.841);
  EXPECT_NEAR(chi_square_upper_quantile(0.01, 2), 9.210, 0.03 * 9.210);
  EXPECT_NEAR(chi_square_upper_quantile(0.05, 3), 7.815, 0.01 * 7.815);
  EXPECT_NEAR(chi_square_upper_quantile(0.001, 3), 16.266, 0.02 * 16.266);
  EXPECT_NEAR(chi_square_upper_quantile(0.05, 10), 18.307, 0.005 * 18.307);
}

}  // namespace
}  // namespace scrapetrace
