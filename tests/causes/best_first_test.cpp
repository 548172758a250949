// The walk over a lattice: what it must visit, and nothing else.

#include "causes/best_first.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <set>

namespace scrapetrace::diagnose {
namespace {

struct Value {
  double score = 0;
};

using Score = std::function<double(LatticePoint)>;

constexpr std::size_t kNoLimit = 1000000;

std::set<LatticePoint> visited(const Score& score, LatticePoint start, double depth,
                               std::size_t limit = kNoLimit) {
  std::set<LatticePoint> out;
  for (const auto& [cell, value] :
       walk_best_first<Value>(start, depth, limit, [&](LatticePoint c) { return Value{score(c)}; })) {
    EXPECT_EQ(value.score, score(cell));
    out.insert(cell);
  }
  return out;
}

// By the definition: all cells within `depth` of zero, and the eight neighbours of each.
std::set<LatticePoint> expected(const Score& score, double depth) {
  std::set<LatticePoint> out;
  for (int x = -30; x <= 30; ++x) {
    for (int y = -30; y <= 30; ++y) {
      if (score({x, y}) < -depth) continue;
      for (int dx = -1; dx <= 1; ++dx) {
        for (int dy = -1; dy <= 1; ++dy) out.insert({x + dx, y + dy});
      }
    }
  }
  return out;
}

// A ridge along a diagonal, its top at the origin with score zero.
double ridge(LatticePoint c) {
  const double along = c.first + c.second;
  const double across = c.first - c.second;
  return -0.01 * along * along - 0.4 * across * across;
}

TEST(Flood, FromTheTopVisitsWhatIsWithinDepthAndItsRim) {
  for (const double depth : {0.5, 3.0, 9.0}) {
    EXPECT_EQ(visited(ridge, {0, 0}, depth), expected(ridge, depth)) << depth;
  }
}

TEST(Flood, ClimbsToTheTopFromASlope) {
  const auto all = visited(ridge, {9, 7}, 3);
  for (const LatticePoint& cell : expected(ridge, 3)) EXPECT_TRUE(all.contains(cell));
}

TEST(Flood, DoesNotCrossWhatIsTooDeep) {
  const Score two_tops = [](LatticePoint c) {
    return -std::min(std::abs(c.first), std::abs(c.first - 12)) - 9.0 * std::abs(c.second);
  };
  for (const LatticePoint& cell : visited(two_tops, {0, 0}, 3)) EXPECT_LE(cell.first, 4);
  EXPECT_TRUE(visited(two_tops, {0, 0}, 6.5).contains({12, 0}));
}

TEST(Flood, StopsAtItsLimit) {
  EXPECT_EQ(visited(ridge, {0, 0}, 9, 7).size(), 7U);
  EXPECT_EQ(visited(ridge, {0, 0}, 9, 1), (std::set<LatticePoint>{{0, 0}}));
}

TEST(Flood, DoesNotPassClosedCells) {
  const Score walled = [](LatticePoint c) {
    return std::abs(c.first) + std::abs(c.second) > 2 ? -1e300 : 0.0;
  };
  for (const LatticePoint& cell : visited(walled, {0, 0}, 50)) {
    EXPECT_LE(std::max(std::abs(cell.first), std::abs(cell.second)), 3);
  }
}

}  // namespace
}  // namespace scrapetrace::diagnose
