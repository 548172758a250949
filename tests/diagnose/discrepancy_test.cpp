// What the model misses: how far causes that fit badly may be told apart.

#include "diagnose/discrepancy.h"

#include <gtest/gtest.h>

#include <cmath>

#include "geometry/zones.h"
#include "support/raster_of.h"

namespace scrapetrace::diagnose {
namespace {

constexpr double kFreedom = 100;
constexpr double kNull = 1e5;

class Discrepant : public ::testing::Test {
 protected:
  const Layout layout = testing::bench_machine();
  const geometry::Machine machine{layout};
  const std::vector<profile::PreparedScan> scans{1};
  const PageContext page{machine, scans, {}};

  // A contact on each carriage at one place of the drum, with what each leaves.
  [[nodiscard]] Round weighed(double first_chi_square, double second_chi_square) const {
    Round round;
    round.freedom = kFreedom;
    round.null_chi_square = kNull;
    round.misfit = first_chi_square / kFreedom;
    const auto tempered = [&](double chi_square) { return 0.5 * (kNull - chi_square) / round.misfit; };
    round.found.residue.all = {
        {{0, true, 63.0, 1.0, 0.5, 0.01}, tempered(first_chi_square), 0, first_chi_square},
        {{1, true, 63.0, 1.0, 0.5, 0.01}, tempered(second_chi_square), 0, second_chi_square}};
    round.found.residue.add_up();
    allow_discrepancy(page, CausePriors{}, {62, 64}, round);
    return round;
  }

  static double log_odds_of_first(const Round& round) {
    double first = 0;
    double second = 0;
    const double most = log_sum(round.found.residue.all);
    for (const ResidueHypothesis& c : round.found.residue.all)
      (c.carriage == 0 ? first : second) += std::exp(c.log_weight - most);
    return std::log(first / second);
  }
};

TEST_F(Discrepant, CausesThatFitBothBadlyAreHardlyToldApart) {
  const double odds = log_odds_of_first(weighed(20 * kFreedom, 40 * kFreedom));
  EXPECT_GT(odds, 0.5);
  EXPECT_LT(odds, 4);  // the tempered likelihood says 50
}

TEST_F(Discrepant, CausesThatFitAreToldApartAsEver) {
  EXPECT_GT(log_odds_of_first(weighed(1.0 * kFreedom, 3 * kFreedom)), 7);
}

TEST_F(Discrepant, AContactThatFitsBadlyIsStillLikelierThanNothingKnown) {
  const Round round = weighed(20 * kFreedom, 40 * kFreedom);
  EXPECT_GT(log_evidence(round, Cause::residue), log_evidence(round, Cause::unknown) + 1);
  EXPECT_GT(round.discrepancy, 0.9);
}

TEST_F(Discrepant, WhatLeavesNearlyAllIsUnknown) {
  const Round round = weighed(0.9 * kNull, 0.95 * kNull);
  EXPECT_GT(log_evidence(round, Cause::unknown), log_evidence(round, Cause::residue));
}

TEST_F(Discrepant, OddsStayFinite) {
  const Round round = weighed(1e9 * kFreedom, 2e9 * kFreedom);
  EXPECT_TRUE(std::isfinite(round.found.residue.log_evidence));
  for (const ResidueHypothesis& c : round.found.residue.all) EXPECT_TRUE(std::isfinite(c.log_weight));
}

// A second contact beside a strong one, given the first: what is left without it and with it, per degree of
// freedom. By the likelihood alone both would be beyond doubt.
TEST_F(Discrepant, AFurtherCauseThatLeavesMuchIsAsLikelyTheFirstOnesRest) {
  const auto evidence = [&](double without, double with) {
    Round round;
    round.freedom = kFreedom;
    round.null_chi_square = without * kFreedom;
    round.misfit = with;
    const double chi_square = with * kFreedom;
    round.found.residue.all = {
        {{0, true, 63.0, 1.0, 0.5, 0.01}, 0.5 * (round.null_chi_square - chi_square) / with, 0, chi_square}};
    round.found.residue.add_up();
    EXPECT_GT(best_evidence(round), 50);
    allow_discrepancy_before(page, CausePriors{}, {62, 64}, round);
    return best_evidence(round);
  };
  EXPECT_LT(evidence(12, 5), 0);
  EXPECT_GT(evidence(500, 1), 4);
}

}  // namespace
}  // namespace scrapetrace::diagnose
