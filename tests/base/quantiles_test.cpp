// Quantiles against statistical tables and SciPy; the Gaussian's share and density against its quantiles.

#include "base/quantiles.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "base/gaussian.h"
#include "support/oracle.h"

namespace scrapetrace {
namespace {

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

TEST(Quantiles, AgreeWithScipy) {
  const auto rows = testing::ask_oracle("base/oracle.py", "");
  ASSERT_GE(rows.size(), 3U * 12 * 14);
  for (std::size_t i = 0; i + 2 < rows.size(); i += 3) {
    const double p = rows[i];
    const double degrees = rows[i + 1];
    const double expected = rows[i + 2];
    const double scale = std::max(1.0, std::abs(expected));
    const double found = degrees == 0 ? gaussian_upper_quantile(p) : student_upper_quantile(p, degrees);
    EXPECT_NEAR(found, expected, 1e-8 * scale) << p << ", " << degrees;
  }
}

TEST(Gaussian, ShareIsTheQuantilesInverseAndDensityItsSlope) {
  EXPECT_NEAR(gaussian_density(0), 0.398942, 5e-7);  // 1 / sqrt(2 pi), as in every table
  for (const double p : {0.4, 0.1, 1e-3, 1e-9}) {
    const double z = gaussian_upper_quantile(p);
    EXPECT_NEAR(gaussian_share(-z), p, 1e-9 * p);
    EXPECT_NEAR(gaussian_share(z), 1 - p, 1e-12);
    constexpr double kStep = 1e-4;
    EXPECT_NEAR((gaussian_share(kStep - z) - gaussian_share(-kStep - z)) / (2 * kStep), gaussian_density(z),
                1e-6 * gaussian_density(z));
  }
}

}  // namespace
}  // namespace scrapetrace
