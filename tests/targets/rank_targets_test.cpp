// From explanations to targets, with numbers that can be worked out by hand.

#include "targets/rank_targets.h"

#include <gtest/gtest.h>

#include <cmath>

#include "geometry/frames.h"
#include "support/raster_of.h"

namespace scrapetrace::diagnose {
namespace {

using testing::bench_machine;

constexpr double kElsewhere = 0.02;
constexpr double kRegistration_mm = 0.03;

struct Weighted {
  std::size_t carriage;
  double x_mm, width_mm, weight;
};

Explanation residue_of(double probability, const std::vector<Weighted>& cells) {
  Explanation e;
  e.causes[static_cast<std::size_t>(Cause::residue)] = probability;
  e.causes[static_cast<std::size_t>(Cause::unknown)] = 1 - probability;
  for (const Weighted& c : cells) {
    ResidueHypothesis cell;
    cell.carriage = c.carriage;
    cell.x_mm = c.x_mm;
    cell.width_mm = c.width_mm;
    cell.log_weight = std::log(c.weight);
    e.found.residue.all.push_back(cell);
  }
  return e;
}

// Drum X of an outward distance at the bench machine's heads.
double at(std::size_t head, Side side, double outward_mm) {
  const Layout layout = bench_machine();
  return geometry::drum_from_outward(layout, layout.heads[head], side, outward_mm);
}

std::vector<Target> rank(const std::vector<Explanation>& explanations, const std::vector<std::size_t>& ids) {
  const Layout layout = bench_machine();
  return rank_targets(geometry::Machine(layout), explanations, ids, kElsewhere,
                      std::vector<double>(explanations.size(), kRegistration_mm));
}

// In a zone of 7 mm with one of four equal priors, the density is (1 - elsewhere) / 28 per mm; elsewhere adds
// elsewhere / (120 mm * 2 carriages).
double part_in_zone() {
  const double inside = (1 - kElsewhere) / 28;
  return inside / (inside + kElsewhere / 240);
}

TEST(RankTargets, GivesAZoneWhatLiesInIt) {
  const auto targets = rank({residue_of(0.9, {{0, at(0, Side::right, 1.0), 0.5, 1}})}, {7});
  ASSERT_EQ(targets.size(), 1U);
  const Target& t = targets[0];
  EXPECT_EQ(t.head, "1");
  EXPECT_EQ(t.side, Side::right);
  EXPECT_NEAR(t.probability, 0.9 * part_in_zone(), 1e-9);
  EXPECT_NEAR(t.outward_mm, 1.25, 1e-9);
  EXPECT_NEAR(t.x_drum_mm, at(0, Side::right, 1.25), 1e-9);
  EXPECT_NEAR(t.x_sheet_mm, t.x_drum_mm - 10, 1e-9);
  EXPECT_NEAR(t.x_sigma_mm, std::hypot(kRegistration_mm, 0.0635 / std::sqrt(12.0)), 1e-9);
  EXPECT_FALSE(t.over_jets);
  EXPECT_EQ(t.streaks, std::vector<std::size_t>{7});
  EXPECT_TRUE(t.rivals.empty());
}

TEST(RankTargets, SaysWhenResidueLiesAmongTheJets) {
  const auto targets = rank({residue_of(1, {{0, at(0, Side::right, -2), 0.5, 1}})}, {1});
  ASSERT_EQ(targets.size(), 1U);
  EXPECT_TRUE(targets[0].over_jets);
  EXPECT_TRUE(targets[0].never_scrape());
}

// A crumb half of which lies across the jets: whoever is told to take it off scrapes the jets with it.
TEST(RankTargets, WarnOfAContactThatReachesAmongTheJetsWhereverItsMiddleLies) {
  struct Contact {
    double middle_mm, width_mm;
  };
  for (const Contact& c : {Contact{0, 9}, Contact{0.4, 3}, Contact{0.53, 1}}) {
    for (const Side side : {Side::left, Side::right}) {
      const std::size_t head = side == Side::right ? 0 : 1;
      const double left = at(head, side, c.middle_mm) - c.width_mm / 2;
      const auto targets = rank({residue_of(1, {{head, left, c.width_mm, 1}})}, {1});
      ASSERT_FALSE(targets.empty());
      EXPECT_TRUE(targets[0].over_jets) << c.middle_mm << ' ' << c.width_mm;
      ASSERT_TRUE(targets[0].touch_from_mm.has_value());
      EXPECT_NEAR(*targets[0].touch_from_mm, 0.5, 1e-9);
      EXPECT_FALSE(targets[0].never_scrape());
    }
  }
}

// Its expected end stays clear of the jets, but nobody knows it that well.
TEST(RankTargets, WarnOfAContactThatMayReachAmongTheJetsForAllThatIsKnown) {
  const double x = at(0, Side::right, 0.5);
  EXPECT_FALSE(rank({residue_of(1, {{0, x, 1, 1}})}, {1})[0].over_jets);
  const auto open = rank({residue_of(1, {{0, x - 0.7, 1.4, 0.5}, {0, x + 0.7, 1.4, 0.5}})}, {1});
  EXPECT_TRUE(open[0].over_jets);
  ASSERT_TRUE(open[0].touch_from_mm.has_value());
  EXPECT_NEAR(*open[0].touch_from_mm, 1.5, 1e-9);  // twice 0.7 mm, and the registration's own
}

// A second, clear streak at the same place does not take the warning back.
TEST(RankTargets, OneContactAmongTheJetsWarnsForAll) {
  const double x = at(0, Side::right, 2);
  const auto targets =
      rank({residue_of(1, {{0, x, 0.5, 1}}), residue_of(1, {{0, at(0, Side::right, -1), 2, 1}})}, {1, 2});
  EXPECT_TRUE(targets[0].over_jets);
  EXPECT_TRUE(targets[0].touch_from_mm.has_value());
}

TEST(RankTargets, CombinesStreaksAsIndependentWitnesses) {
  const double x = at(0, Side::right, 1.0);
  const double p = 0.9 * part_in_zone();
  const double q = 0.4 * part_in_zone();
  const auto targets =
      rank({residue_of(0.9, {{0, x, 0.5, 1}}), residue_of(0.4, {{0, x + 1, 0.5, 1}})}, {3, 5});
  ASSERT_EQ(targets.size(), 1U);
  EXPECT_NEAR(targets[0].probability, 1 - (1 - p) * (1 - q), 1e-9);
  EXPECT_EQ(targets[0].streaks, (std::vector<std::size_t>{3, 5}));
  EXPECT_NEAR(targets[0].x_drum_mm, (p * (x + 0.25) + q * (x + 1.25)) / (p + q), 1e-9);
}

TEST(RankTargets, SharesAStreakBetweenRivals) {
  const auto targets =
      rank({residue_of(1, {{0, at(0, Side::right, 1), 0.5, 0.7}, {1, at(1, Side::left, 1), 0.5, 0.3}})}, {1});
  ASSERT_EQ(targets.size(), 2U);
  EXPECT_EQ(targets[0].head, "1");
  EXPECT_EQ(targets[1].head, "2");
  EXPECT_NEAR(targets[0].probability, 0.7 * part_in_zone(), 1e-9);
  EXPECT_NEAR(targets[1].probability, 0.3 * part_in_zone(), 1e-9);
  ASSERT_EQ(targets[0].rivals.size(), 1U);
  EXPECT_EQ(targets[0].rivals[0].head, "2");
  EXPECT_EQ(targets[0].rivals[0].side, Side::left);
  EXPECT_NEAR(targets[0].rivals[0].probability, targets[1].probability, 1e-12);
  EXPECT_FALSE(targets[0].rivals[0].tell_apart.empty());
  ASSERT_EQ(targets[1].rivals.size(), 1U);
  EXPECT_EQ(targets[1].rivals[0].head, "1");
}

TEST(RankTargets, OfDifferentStreaksAreNoRivals) {
  const auto targets = rank({residue_of(1, {{0, at(0, Side::right, 1), 0.5, 1}}),
                             residue_of(1, {{1, at(1, Side::right, 1), 0.5, 1}})},
                            {1, 2});
  ASSERT_EQ(targets.size(), 2U);
  EXPECT_TRUE(targets[0].rivals.empty());
  EXPECT_TRUE(targets[1].rivals.empty());
}

// A residue wider than its zone counts with the part inside; the rest belongs to nobody.
TEST(RankTargets, CountTheirPartOfAWideResidue) {
  const double x = at(0, Side::right, 3);  // the zone ends at 4
  const auto targets = rank({residue_of(1, {{0, x, 4, 1}})}, {1});
  ASSERT_EQ(targets.size(), 1U);
  const double inside = (1 - kElsewhere) / 28 / 4;
  EXPECT_NEAR(targets[0].probability, inside / (inside + kElsewhere / 240), 1e-9);
  EXPECT_NEAR(targets[0].outward_mm, 3.5, 1e-9);
}

TEST(RankTargets, OutsideAllZonesThereIsNone) {
  EXPECT_TRUE(rank({residue_of(1, {{0, 35, 1, 1}})}, {1}).empty());
  EXPECT_TRUE(rank({}, {}).empty());
  EXPECT_TRUE(rank({residue_of(0.001, {{0, at(0, Side::right, 1), 0.5, 1}})}, {1}).empty());
}

}  // namespace
}  // namespace scrapetrace::diagnose
