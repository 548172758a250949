// What fringes leave in tints, as the noise of a trace.

#include "likelihood/fringe_noise.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "likelihood/banded_cholesky.h"

namespace scrapetrace::diagnose {
namespace {

constexpr int kSize = 3000;
constexpr double kPeriod = 17.3;  // samples

// Two strips of one tint, out of which fringes were taken.
profile::PreparedScan scan_of(const std::vector<double>& loss) {
  profile::PreparedScan scan;
  scan.strips.grid = {0, 0.05, kSize};
  for (std::size_t s = 0; s < 2; ++s) {
    profile::Strip strip;
    strip.to = kSize;
    strip.rows = 100;
    scan.strips.strips.push_back(strip);
    profile::InkView view;
    view.strip = s;
    view.ink = 0;
    view.evened = true;
    view.loss.assign(loss.begin(), loss.end());
    scan.views.inked.push_back(view);
  }
  return scan;
}

Pool pool_of(const profile::PreparedScan& scan, int from, int to) {
  return {{&scan.views.inked[0], &scan.views.inked[1]}, from, to};
}

std::vector<double> swing(double size) {
  std::vector<double> out;
  for (int i = 0; i < kSize; ++i) out.push_back(size * std::sin(2 * std::numbers::pi * i / kPeriod));
  return out;
}

// The covariance of a swing of random phase: size^2 / 2 times its cosine.
TEST(CovarianceWithFringes, IsASwingsOwn) {
  const profile::PreparedScan scan = scan_of(swing(0.02));
  const auto covariance = covariance_with_fringes(scan, pool_of(scan, 1000, 1060));
  ASSERT_EQ(covariance.size(), 60U);
  for (std::size_t apart = 0; apart < covariance.size(); ++apart) {
    const double phase = 2 * std::numbers::pi * static_cast<double>(apart) / kPeriod;
    EXPECT_NEAR(covariance[apart], 0.0002 * std::cos(phase), 0.00001) << apart;
  }
}

TEST(CovarianceWithFringes, HardlyHearsAStreak) {
  std::vector<double> loss = swing(0.02);
  for (std::size_t i = 1500; i < 1530; ++i) loss[i] += 0.5;
  const profile::PreparedScan scan = scan_of(loss);
  EXPECT_NEAR(covariance_with_fringes(scan, pool_of(scan, 1000, 1060))[0], 0.0002, 0.0001);
}

TEST(CovarianceWithFringes, IsOne) {
  std::mt19937 random(3);
  std::normal_distribution<double> normal(0, 0.005);
  std::vector<double> loss = swing(0.02);
  for (double& l : loss) l += normal(random);
  const profile::PreparedScan scan = scan_of(loss);
  const auto covariance = covariance_with_fringes(scan, pool_of(scan, 0, 200));
  BandedCholesky matrix(covariance.size(), covariance.size() - 1);
  for (std::size_t i = 0; i < covariance.size(); ++i) {
    for (std::size_t j = 0; j <= i; ++j) matrix.add(i, j, covariance[i - j]);
  }
  EXPECT_TRUE(matrix.factor());
}

TEST(CovarianceWithFringes, IsNotAskedForWhereNoneWereTakenOut) {
  profile::PreparedScan scan = scan_of(swing(0.02));
  for (auto& view : scan.views.inked) view.evened = false;
  EXPECT_TRUE(covariance_with_fringes(scan, pool_of(scan, 1000, 1060)).empty());
}

}  // namespace
}  // namespace scrapetrace::diagnose
