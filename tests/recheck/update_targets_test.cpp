// Bayes' rule against worked values: g = 0.80, q = 0.12, v = 0.02, u = 0.05 (the defaults).
#include "recheck/update_targets.h"

#include <gtest/gtest.h>

#include "recheck/pairs.h"

namespace scrapetrace::recheck_detail {
namespace {

const std::vector<Cleaned> kCleanedA = {{"a", Side::right, ""}};

std::vector<Part> update(double p, double q, Change change) {
  return update_streak(pairs::residue(1, 10, 0.3, p, q).targets, change, kCleanedA, {});
}

TEST(UpdateTargets, AStreakThatIsGoneCameFromTheCleanedPlace) {
  // 0.7 * 0.80 / (0.7 * 0.80 + 0.2 * 0.02 + 0.1 * 0.02) = 0.56 / 0.566
  const auto parts = update(0.7, 0.2, Change::gone);
  EXPECT_NEAR(parts[0].was, 0.98939929, 1e-8);
  EXPECT_NEAR(parts[1].was, 0.00706714, 1e-8);
  EXPECT_EQ(parts[0].now, 0);
  EXPECT_EQ(parts[1].now, 0);
}

TEST(UpdateTargets, AStreakThatStayedPointsElsewhereButCleaningMayHaveFailed) {
  // 0.7 * 0.08 / (0.7 * 0.08 + 0.2 * 0.93 + 0.1 * 0.93) = 0.056 / 0.335
  const auto parts = update(0.7, 0.2, Change::unchanged);
  EXPECT_NEAR(parts[0].now, 0.16716418, 1e-8);
  EXPECT_NEAR(parts[1].now, 0.55522388, 1e-8);
  EXPECT_NEAR(update(0.7, 0.2, Change::stronger)[0].now, parts[0].now, 1e-12);
}

TEST(UpdateTargets, AFainterStreakPointsAtTheCleanedPlaceAndIsStillThere) {
  // 0.7 * 0.12 / (0.7 * 0.12 + 0.3 * 0.05) = 0.084 / 0.099
  const auto parts = update(0.7, 0.2, Change::fainter);
  EXPECT_NEAR(parts[0].now, 0.84848485, 1e-8);
  EXPECT_NEAR(update(0.7, 0.2, Change::moved)[0].now, parts[0].now, 1e-12);
}

TEST(UpdateTargets, WhatCouldNotBeSeenKeepsItsOriginAndTheChanceThatCleaningFailed) {
  const auto parts = update(0.7, 0.2, Change::could_not_look);
  EXPECT_NEAR(parts[0].was, 0.7, 1e-12);
  EXPECT_NEAR(parts[0].now, 0.14, 1e-12);
  EXPECT_NEAR(parts[1].now, 0.2, 1e-12);
}

// With two hypotheses the odds are multiplied by the ratio of likelihoods.
TEST(UpdateTargets, OddsAreMultipliedByTheBayesFactor) {
  for (const double p : {0.05, 0.3, 0.5, 0.9}) {
    for (const Change change : {Change::gone, Change::fainter, Change::unchanged}) {
      const double factor = likelihood(change, true, {}) / likelihood(change, false, {});
      const double odds = p / (1 - p) * factor;
      EXPECT_NEAR(update(p, 1 - p, change)[0].was, odds / (1 + odds), 1e-12);
    }
  }
}

TEST(UpdateTargets, TheOutcomesOfAPlaceSumToOne) {
  for (const bool cleaned : {true, false}) {
    EXPECT_NEAR(likelihood(Change::gone, cleaned, {}) + likelihood(Change::fainter, cleaned, {}) +
                    likelihood(Change::unchanged, cleaned, {}),
                1, 1e-12);
  }
}

TEST(UpdateTargets, ACleanedSideCountsForAllItsSurfacesUnlessOneIsNamed) {
  const StreakTarget target{"a", Side::right, "faceplate", 1};
  EXPECT_TRUE(is_cleaned(target, {{"a", Side::right, ""}}));
  EXPECT_TRUE(is_cleaned(target, {{"a", Side::right, "faceplate"}}));
  EXPECT_FALSE(is_cleaned(target, {{"a", Side::right, "insulation"}}));
  EXPECT_FALSE(is_cleaned(target, {{"a", Side::left, ""}}));
  EXPECT_FALSE(is_cleaned(target, {{"b", Side::right, ""}}));
}

}  // namespace
}  // namespace scrapetrace::recheck_detail
