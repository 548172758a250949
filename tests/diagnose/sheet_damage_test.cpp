// How much of a sheet shows a streak: what tells damage of one sheet from a cause that stays.

#include "diagnose/sheet_damage.h"

#include <gtest/gtest.h>

namespace scrapetrace::diagnose {
namespace {

constexpr double kEven = 0;
constexpr double kNearlySure = 3;  // log odds

TEST(DamageOfASheet, IsWhatShowsOnOneStripOfMany) {
  EXPECT_GT(log_odds_of_damage({12, 240, 1, false}, 0), 2);
  EXPECT_GT(log_odds_of_damage({24, 240, 1, false}, 0), kEven);
}

TEST(DamageOfASheet, IsNotWhatRunsTheWholeLength) {
  EXPECT_LT(log_odds_of_damage({240, 0, 1, false}, 0), -kNearlySure);
  EXPECT_LT(log_odds_of_damage({240, 0, 1, false}, 10), -kNearlySure);
}

TEST(DamageOfASheet, IsHardlyWhatRunsStraightOverHalfTheSheet) {
  EXPECT_LT(log_odds_of_damage({120, 120, 1, false}, 0), kEven);
}

TEST(DamageOfASheet, IsWhatSlants) {
  EXPECT_GT(log_odds_of_damage({120, 120, 1, true}, 0), kNearlySure);
}

TEST(DamageOfASheet, IsNotWhatASecondSheetShows) {
  EXPECT_LT(log_odds_of_damage({12, 240, 2, false}, 0), -kNearlySure);
}

TEST(DamageOfASheet, IsNoSurpriseWhereThereIsMore) {
  EXPECT_GT(log_odds_of_damage({24, 240, 1, false}, 6), 1 + log_odds_of_damage({24, 240, 1, false}, 0));
}

TEST(DamageOfASheet, OnASheetTooShortToTellIsInDoubt) {
  const double odds = log_odds_of_damage({12, 0, 1, false}, 0);
  EXPECT_GT(odds, -kNearlySure);
  EXPECT_LT(odds, kEven);
}

TEST(DamageOfASheet, TakesItsPartOfEveryCause) {
  Explanation e;
  e.causes[static_cast<std::size_t>(Cause::residue)] = 0.9;
  e.causes[static_cast<std::size_t>(Cause::unknown)] = 0.1;
  weigh_damage({12, 240, 1, false}, 0, e);
  double sum = 0;
  for (const double p : e.causes) sum += p;
  EXPECT_NEAR(sum, 1, 1e-12);
  const double damage = e.causes[static_cast<std::size_t>(Cause::sheet_damage)];
  EXPECT_GT(damage, 0.8);
  EXPECT_NEAR(e.causes[static_cast<std::size_t>(Cause::residue)], 0.9 * (1 - damage), 1e-12);
}

TEST(DamageOfASheet, TakesNothingFromAJet) {
  Explanation e;
  e.causes[static_cast<std::size_t>(Cause::dead_jet)] = 1;
  weigh_damage({12, 240, 1, false}, 5, e);
  EXPECT_EQ(e.causes[static_cast<std::size_t>(Cause::dead_jet)], 1);
}

TEST(DamageOfASheet, IsLessLikelyWhereTheRasterShapesTheStreak) {
  const auto damage = [](double beats_box, double discrepancy) {
    Explanation e;
    e.causes[static_cast<std::size_t>(Cause::residue)] = 1;
    e.beats_box = beats_box;
    e.discrepancy = discrepancy;
    weigh_damage({36, 40, 1, false}, 0, e);
    return e.causes[static_cast<std::size_t>(Cause::sheet_damage)];
  };
  EXPECT_LT(damage(100, 0), 0.2);
  EXPECT_GT(damage(0, 0), 0.3);
  EXPECT_GT(damage(100, 1), 0.3);  // nothing fits: the raster says nothing
}

TEST(Local, IsWhatShowsOnLittleOfWhatCould) {
  EXPECT_TRUE(is_local({12, 240, 1, false}));
  EXPECT_TRUE(is_local({108, 100, 1, true}));
  EXPECT_FALSE(is_local({12, 0, 1, false}));  // a sheet of one strip
  EXPECT_FALSE(is_local({120, 120, 1, false}));
  EXPECT_FALSE(is_local({12, 240, 2, false}));
}

}  // namespace
}  // namespace scrapetrace::diagnose
