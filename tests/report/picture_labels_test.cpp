#include "report/picture_labels.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

namespace scrapetrace::report::picture {
namespace {

TEST(Spread, LeavesLabelsThatDoNotTouch) {
  EXPECT_EQ(spread({50, 200}, {40, 40}, 5, 0, 300), (std::vector<double>{50, 200}));
}

TEST(Spread, PushesNeighboursApartEvenly) {
  const auto centres = spread({100, 100}, {40, 40}, 10, 0, 300);
  EXPECT_DOUBLE_EQ(centres[0], 75);
  EXPECT_DOUBLE_EQ(centres[1], 125);
}

TEST(Spread, StaysInside) {
  const auto centres = spread({2, 4, 298}, {40, 40, 40}, 5, 0, 300);
  EXPECT_DOUBLE_EQ(centres[0], 20);
  EXPECT_DOUBLE_EQ(centres[1], 65);
  EXPECT_DOUBLE_EQ(centres[2], 280);
}

TEST(Spread, NeverOverlapsOnRandomLabels) {
  std::mt19937 random(20);
  for (int round = 0; round < 200; ++round) {
    std::vector<double> wanted;
    std::vector<double> widths;
    for (int i = 0; i < 12; ++i) {
      wanted.push_back(static_cast<double>(random() % 1000));
      widths.push_back(10 + static_cast<double>(random() % 50));
    }
    std::sort(wanted.begin(), wanted.end());
    const auto centres = spread(wanted, widths, 4, 0, 1000);
    EXPECT_GE(centres.front() - widths.front() / 2, -1e-9);
    EXPECT_LE(centres.back() + widths.back() / 2, 1000 + 1e-9);
    for (std::size_t i = 1; i < centres.size(); ++i) {
      EXPECT_GE(centres[i] - centres[i - 1], (widths[i] + widths[i - 1]) / 2 + 4 - 1e-9);
    }
  }
}

TEST(Lanes, StackOnlyWhatOverlaps) {
  EXPECT_EQ(lanes({{0, 10}, {5, 15}, {20, 30}, {12, 40}}, 1), (std::vector<std::size_t>{0, 1, 0, 2}));
}

}  // namespace
}  // namespace scrapetrace::report::picture
