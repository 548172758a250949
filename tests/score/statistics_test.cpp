#include "score/statistics.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "score/detection.h"
#include "score/evidence_rows.h"

namespace scrapetrace::score {
namespace {

// Worked by hand: forecasts .1 .9 .8 .3 of which the second and third came true.
TEST(ProperScores, BrierAndLogLossOfFourForecasts) {
  const std::vector<Claim> claims{{0.1, false}, {0.9, true}, {0.8, true}, {0.3, false}};
  EXPECT_NEAR(brier(claims), 0.0375, 1e-12);
  EXPECT_NEAR(log_loss(claims), 0.197635, 1e-6);
}

// Murphy (J. Appl. Meteorol. 12, 1973): Brier = reliability - resolution + uncertainty.
TEST(ProperScores, MurphysPartsOfTwoGroups) {
  std::vector<Claim> claims;
  for (int k = 0; k < 5; ++k) claims.push_back({0.2, k < 1});
  for (int k = 0; k < 5; ++k) claims.push_back({0.8, k < 3});
  const Calibration c = calibrate(claims, 2, 1);
  ASSERT_EQ(c.bins.size(), 2U);
  EXPECT_NEAR(c.reliability, 0.02, 1e-12);
  EXPECT_NEAR(c.resolution, 0.04, 1e-12);
  EXPECT_NEAR(c.uncertainty, 0.24, 1e-12);
  EXPECT_NEAR(c.calibration_error, 0.10, 1e-12);
  EXPECT_NEAR(brier(claims), c.reliability - c.resolution + c.uncertainty, 1e-12);
}

TEST(ProperScores, EqualClaimsShareABin) {
  const Calibration c = calibrate(std::vector<Claim>(50, {0.3, false}), 10, 1);
  ASSERT_EQ(c.bins.size(), 1U);
  EXPECT_EQ(c.bins[0].targets, 50);
}

// 400 claims of 0.3 in one bin: the share that comes true is off by 0.3 * 0.7 / 400 in variance, and the mean
// of a normal deviate's size is sqrt(2 / pi) of its standard deviation; 95 in 100 lie below 1.96 of it.
TEST(ProperScores, ChanceAloneMakesACalibrationError) {
  const Calibration c = calibrate(std::vector<Claim>(400, {0.3, false}), 10, 5);
  const double sigma = std::sqrt(0.3 * 0.7 / 400);
  EXPECT_NEAR(c.chance_error, sigma * std::sqrt(2 / M_PI), 0.1 * sigma);
  EXPECT_NEAR(c.chance_error_95, 1.96 * sigma, 0.25 * sigma);
  EXPECT_NEAR(c.calibration_error, 0.3, 1e-12);
}

// What was made of the same two cases: worked by hand.
TEST(Evidence, IsComparedCaseByCase) {
  CaseRecord sure;
  sure.truth = 0;
  sure.located = {0.5, 0.5};
  sure.evidence = EvidenceRecord{{1, 0}, {0.5, 0.5}, {0.8, 0.2}};
  CaseRecord missed;
  missed.truth = 1;
  missed.located = {0.75, 0.25};
  missed.evidence = EvidenceRecord{{0.5, 0.5}, {0.75, 0.25}, {0.2, 0.8}};
  const auto rows = evidence_rows({sure, CaseRecord{}, missed}, 1);
  ASSERT_EQ(rows.size(), 4U);
  EXPECT_EQ(rows[0].log_loss.cases, 2);
  EXPECT_NEAR(rows[0].log_loss.value, 0.5 * std::log(8.0), 1e-12);
  EXPECT_NEAR(rows[1].gain.value, std::log(2.0), 1e-12);
  EXPECT_NEAR(rows[1].first_gain.value, 0.5, 1e-12);  // two ties broken in part: 0.5 to 1, and 0 to 0.5
  EXPECT_EQ(rows[2].gain.value, 0);
  EXPECT_NEAR(rows[3].log_loss.value, -std::log(0.8), 1e-12);
  EXPECT_TRUE(evidence_rows({CaseRecord{}}, 1).empty());
}

// Wilson's interval for 8 of 10 at 95 %, from the formula of 1927: 0.4902 to 0.9433.
TEST(Intervals, WilsonOfEightInTen) {
  const Estimate e = share(8, 10);
  EXPECT_NEAR(e.low, 0.4902, 5e-5);
  EXPECT_NEAR(e.high, 0.9433, 5e-5);
}

// A mean of n values of standard deviation s: the bootstrap's interval is about +-1.96 s / sqrt(n).
TEST(Intervals, BootstrapIsAboutTheNormalOne) {
  std::vector<double> values;
  for (int k = 0; k < 400; ++k) values.push_back(k % 2);
  const Estimate e = bootstrap_mean(values, 7);
  EXPECT_DOUBLE_EQ(e.value, 0.5);
  EXPECT_NEAR(e.high - e.low, 2 * 1.96 * 0.5 / 20, 0.012);
}

TEST(Ranks, TiesCountInPart) {
  const std::vector<double> p{0.3, 0.3, 0.3, 0.1};
  EXPECT_NEAR(among_first(p, 0, 1), 1.0 / 3, 1e-12);
  EXPECT_NEAR(among_first(p, 0, 2), 2.0 / 3, 1e-12);
  EXPECT_EQ(among_first(p, 3, 2), 0);
  EXPECT_EQ(among_first({0, 0, 1}, 0, 2), 0);  // what is not named has no rank
}

TEST(Detection, ProbitFitFindsTheCurveItWasDrawnFrom) {
  std::vector<Trial> trials;  // found in Phi(2 log(d / 10)) of the cases: 90 % at 10 e^(1.2816 / 2)
  for (int k = 0; k < 60; ++k) {
    const double d = 2 * std::pow(25.0, k / 59.0);
    const double p = 0.5 * std::erfc(-2 * std::log(d / 10) * M_SQRT1_2);
    for (int j = 0; j < 40; ++j) trials.push_back({d, (j + 0.5) / 40 < p});
  }
  EXPECT_NEAR(d_prime_at_90(trials), 10 * std::exp(1.281552 / 2), 0.3);
}

// A curve as steep as may be parts them, between the last that was missed and the first that was found.
TEST(Detection, ProbitFitStandsBetweenTrialsThatPart) {
  std::vector<Trial> trials;
  for (const double d : {3.3, 3.4, 3.9, 4.3, 5.0, 6.2, 7.1}) trials.push_back({d, false});
  for (const double d : {9.6, 15.1, 22.1, 44.8, 95.1, 183.0, 407.4}) trials.push_back({d, true});
  EXPECT_GT(d_prime_at_90(trials), 7.1);
  EXPECT_LT(d_prime_at_90(trials), 9.6);
}

TEST(Detection, SaysNothingWhenAllAreFound) {
  EXPECT_EQ(d_prime_at_90(std::vector<Trial>(50, {5, true})), 0);
}

}  // namespace
}  // namespace scrapetrace::score
