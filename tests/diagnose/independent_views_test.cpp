// Views of one patch that see the same grain.

#include "diagnose/independent_views.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace scrapetrace::diagnose {
namespace {

constexpr std::size_t kSamples = 4000;

struct Patch {
  std::vector<std::vector<double>> residuals;
  std::vector<PatchLoss> views;
};

// Three channels of three inks, whose grain each sees in other parts; every channel has some noise of its
// own.
Patch overprint(unsigned seed) {
  const std::vector<std::vector<double>> shares{{0.8, 0.15, 0.05}, {0.2, 0.6, 0.2}, {0.1, 0.3, 0.6}};
  std::mt19937 random(seed);
  std::normal_distribution<double> normal;
  Patch out{{3, std::vector<double>(kSamples, 0.0)}, std::vector<PatchLoss>(3)};
  for (std::size_t k = 0; k < kSamples; ++k) {
    const std::vector<double> grain{0.004 * normal(random), 0.004 * normal(random), 0.004 * normal(random)};
    for (std::size_t v = 0; v < 3; ++v) {
      double& own = out.residuals[v][k] = 0.001 * normal(random);
      for (std::size_t i = 0; i < 3; ++i) own += shares[v][i] * grain[i];
    }
  }
  for (std::size_t v = 0; v < 3; ++v) {
    PatchLoss& view = out.views[v];
    view.patch = 7;
    view.share = shares[v];
    view.loss = out.residuals[v];
    double square = 1e-6;
    for (const double s : shares[v]) square += 0.004 * 0.004 * s * s;
    view.variance.assign(kSamples, square);
    view.to = kSamples;
  }
  return out;
}

double product(const std::vector<double>& a, const std::vector<double>& b) {
  double sum = 0;
  for (std::size_t k = 0; k < a.size(); ++k) sum += a[k] * b[k];
  return sum / static_cast<double>(a.size());
}

TEST(MakeIndependent, LeavesNoiseOfTheVariancesGivenAndNothingInCommon) {
  Patch page = overprint(3);
  const auto before = page.views;
  EXPECT_GT(product(before[1].loss, before[2].loss), 0.5 * before[2].variance[0]);
  make_independent(page.residuals, page.views);
  EXPECT_EQ(page.views[0].loss, before[0].loss);
  for (std::size_t a = 0; a < 3; ++a) {
    EXPECT_EQ(page.views[a].variance, before[a].variance);
    for (std::size_t b = 0; b <= a; ++b) {
      const double scale = std::sqrt(before[a].variance[0] * before[b].variance[0]);
      EXPECT_NEAR(product(page.views[a].loss, page.views[b].loss) / scale, a == b ? 1 : 0, 0.12) << a << b;
    }
  }
}

// Shares are carried along: what the inks lose shows in the combined views as it did in the old.
TEST(MakeIndependent, TurnsSharesAsItTurnsLosses) {
  Patch page = overprint(4);
  const std::vector<double> lost{0.03, -0.01, 0.02};
  for (PatchLoss& view : page.views) {
    for (double& loss : view.loss) loss = product(view.share, lost) * 3;
  }
  make_independent(page.residuals, page.views);
  for (const PatchLoss& view : page.views) {
    for (const double loss : view.loss) ASSERT_NEAR(loss, product(view.share, lost) * 3, 1e-12);
  }
}

TEST(MakeIndependent, LeavesOtherPatchesAloneAndGivesUpWhatNotAllViewsSee) {
  Patch page = overprint(5);
  page.views[2].patch = 8;
  page.views[1].variance[10] = 0;
  const auto before = page.views;
  make_independent(page.residuals, page.views);
  EXPECT_EQ(page.views[2].loss, before[2].loss);
  EXPECT_EQ(page.views[2].share, before[2].share);
  EXPECT_NE(page.views[1].share, before[1].share);
  EXPECT_EQ(page.views[0].variance[10], 0);
  EXPECT_GT(page.views[0].variance[11], 0);
}

TEST(RobustCorrelation, IsThatOfGaussiansAndHeedsNoStreak) {
  std::mt19937 random(6);
  std::normal_distribution<double> normal;
  for (const double r : {-0.7, 0.0, 0.5}) {
    std::vector<double> a;
    std::vector<double> b;
    for (std::size_t k = 0; k < kSamples; ++k) {
      const double x = normal(random);
      a.push_back(3 * x);
      b.push_back(r * x + std::sqrt(1 - r * r) * normal(random));
      if (k % 20 == 0) a.back() += 100, b.back() += 100;  // a streak in both
    }
    EXPECT_NEAR(robust_correlation(a, b), r, 0.08);
  }
  EXPECT_EQ(robust_correlation(std::vector<double>(100, 1.0), std::vector<double>(100, 1.0)), 0);
  EXPECT_EQ(robust_correlation({1, 2, 3}, {1, 2, 3}), 0);
}

}  // namespace
}  // namespace scrapetrace::diagnose
