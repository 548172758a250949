#include "diagnose/mottle_prior.h"

#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <cmath>

namespace scrapetrace::diagnose {
namespace {

Eigen::MatrixXd covariance(std::size_t knots, double step) {
  const auto rows = mottle_precision(knots, step);
  const auto n = static_cast<Eigen::Index>(knots);
  Eigen::MatrixXd precision = Eigen::MatrixXd::Zero(n, n);
  for (std::size_t k = 0; k < knots; ++k) {
    for (std::size_t j = 0; j <= std::min(k, kMottleOrder); ++j) {
      const auto row = static_cast<Eigen::Index>(k);
      const auto column = static_cast<Eigen::Index>(k - j);
      precision(row, column) = precision(column, row) = rows[k][j];
    }
  }
  return precision.inverse();
}

// An autoregression that solves the Yule-Walker equations has the covariance that it was made for, up to its
// order (Box, Jenkins and Reinsel, Time Series Analysis, 4th edition 2008, section 3.2.2).
TEST(MottlePrior, HasMottlesVarianceEverywhereAndItsCovarianceOverAsManySteps) {
  const double step = 0.35;
  const Eigen::MatrixXd c = covariance(40, step);
  for (Eigen::Index i = 0; i < c.rows(); ++i) {
    for (Eigen::Index lag = 0; lag <= static_cast<Eigen::Index>(kMottleOrder) && lag <= i; ++lag) {
      const double d = static_cast<double>(lag) * step;
      EXPECT_NEAR(c(i, i - lag), std::exp(-0.5 * d * d), 1.5e-3) << i << " " << lag;
    }
  }
}

TEST(MottlePrior, FollowsTheCovarianceRoughlyFartherOnAndFades) {
  const double step = 0.35;
  const Eigen::MatrixXd c = covariance(60, step);
  for (Eigen::Index lag = 3; lag < 30; ++lag) {
    const double d = static_cast<double>(lag) * step;
    EXPECT_NEAR(c(45, 45 - lag), std::exp(-0.5 * d * d), 0.15) << lag;
  }
  EXPECT_NEAR(c(59, 0), 0, 0.03);
}

TEST(MottlePrior, HoldsForOneKnotAndForTwo) {
  EXPECT_NEAR(covariance(1, 0.35)(0, 0), 1, 1e-12);
  const Eigen::MatrixXd two = covariance(2, 0.35);
  EXPECT_NEAR(two(1, 1), 1, 1e-9);
  EXPECT_NEAR(two(1, 0), std::exp(-0.5 * 0.35 * 0.35), 1.5e-3);
}

}  // namespace
}  // namespace scrapetrace::diagnose
