// The matched filter for boxes against the textbook: d' = A sqrt(w) / s, false alarms as asked.

#include "streak/box_search.h"

#include <gtest/gtest.h>

#include <cmath>
#include <ostream>
#include <random>

namespace scrapetrace::streak {
namespace {

Signal white_noise(std::uint64_t seed, int length, double sd) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> normal(0, sd);
  Signal signal;
  signal.to = length;
  for (int i = 0; i < length; ++i) signal.value.push_back(normal(random));
  return signal;
}

void add_box(Signal& signal, int from, int width, double depth) {
  for (int i = from; i < from + width; ++i) signal.value[static_cast<std::size_t>(i)] += depth;
}

constexpr int kLength = 8000;
constexpr double kNoise = 0.02;

struct Box {
  int width;
  double d_prime;
};
void PrintTo(const Box& box, std::ostream* out) {
  *out << "width " << box.width << " d prime " << box.d_prime;
}

class KnownBox : public ::testing::TestWithParam<Box> {};

// One box's own noise is 1 in z, 0.2 on the mean of 30 pages, 2 % of the smallest d' here; the MAD of as few
// as 350 cells is good to 6 %, 1 % on that mean. Taking the best of several places and widths adds a little.
constexpr double kMeanZ = 0.06;  // relative

TEST_P(KnownBox, StandsOutByItsMatchedFilter) {
  const auto [width, d_prime] = GetParam();
  const double depth = d_prime * kNoise / std::sqrt(width);
  double z = 0;
  double mean = 0;
  double off = 0;
  constexpr int kPages = 30;
  for (std::uint64_t seed = 1; seed <= kPages; ++seed) {
    Signal signal = white_noise(seed, kLength, kNoise);
    add_box(signal, 3000, width, depth);
    const auto found = search_boxes(signal, {1, 100, 1e-7});
    ASSERT_FALSE(found.empty());
    EXPECT_GE(found[0].z, found[0].threshold);
    z += found[0].z / kPages;
    mean += found[0].mean * found[0].width / kPages;
    off += (found[0].centre - (3000 + 0.5 * width - 0.5)) / kPages;
  }
  EXPECT_GT(z, (1 - kMeanZ) * d_prime);
  EXPECT_LT(z, (1 + kMeanZ) * d_prime + 0.6);
  EXPECT_NEAR(mean, depth * width, 0.1 * depth * width);
  EXPECT_NEAR(off, 0, std::max(0.3, 0.05 * width));
}

// Widths that the grid holds.
INSTANTIATE_TEST_SUITE_P(Streak, KnownBox,
                         ::testing::Values(Box{1, 12}, Box{2, 15}, Box{4, 12}, Box{8, 20}, Box{16, 15},
                                           Box{23, 30}));

// A box between two widths of the grid keeps sqrt(narrow / wide) of its z: at worst 2^-1/4 = 0.841 on a grid
// of factor 2 and 0.917 on one of sqrt 2. Widths are whole samples here, and 5 between 4 and 6 keeps 0.913.
constexpr double kLeastKept = 0.912;
constexpr double kNoiseLeft = 0.002;  // noise is 0.004 of the boxes' depth
constexpr double kMadError = 0.1;     // 1.17 / sqrt(cells), about three of them, at 64 samples in 60000

TEST(BoxSearch, KeepsItsZBetweenTheWidthsOfTheGrid) {
  constexpr double kDepth = 5;
  double least = 1;
  for (int width = 1; width <= 64; ++width) {
    Signal signal = white_noise(77, 60000, kNoise);
    add_box(signal, 30000, width, kDepth);
    const auto found = search_boxes(signal, {1, 100, 1e-7});
    ASSERT_FALSE(found.empty());
    const double kept = found[0].mean * std::sqrt(found[0].width) / (kDepth * std::sqrt(width));
    EXPECT_GT(kept, kLeastKept - kNoiseLeft) << width;
    EXPECT_LT(kept, 1 + kNoiseLeft) << width;
    const double z = found[0].mean * std::sqrt(found[0].width) / kNoise;
    EXPECT_NEAR(found[0].z, z, kMadError * z) << width;
    EXPECT_NEAR(found[0].centre, 30000 + 0.5 * width - 0.5, 0.5 * std::abs(found[0].width - width) + 0.01);
    least = std::min(least, kept);
  }
  EXPECT_NEAR(least, std::sqrt(5.0 / 6), kNoiseLeft);
}

TEST(BoxSearch, CountsCellsWidthByWidth) {
  Signal signal;
  signal.from = 100;
  signal.to = 1060;
  signal.value.assign(2000, 0.0);
  EXPECT_NEAR(independent_cells(signal, {4, 8, 1e-7}), 960 / 4.0 + 960 / 6.0 + 960 / 8.0, 1e-9);
}

// `rate` false alarms are asked for per page: cells times probability. Pages with any are then about
// 1 - exp(-rate); the bounds are four binomial standard deviations about it. Neighbouring places of a box and
// neighbouring widths are correlated, so that cells are neither all independent nor all there is: the rate is
// held to within a factor (1.2 was seen on white noise, 0.7 on noise that runs over two samples).
constexpr double kRateFactor = 1.6;

double pages_with_alarms(double rate, int pages, double correlation) {
  int alarmed = 0;
  for (int page = 0; page < pages; ++page) {
    Signal signal = white_noise(1000 + static_cast<std::uint64_t>(page), 2000, kNoise);
    for (std::size_t i = 1; i < signal.value.size(); ++i)
      signal.value[i] += correlation * signal.value[i - 1];
    BoxSearchOptions options{1, 100, 0};
    options.probability = rate / independent_cells(signal, options);
    alarmed += search_boxes(signal, options).empty() ? 0 : 1;
  }
  return static_cast<double>(alarmed) / pages;
}

TEST(BoxSearch, RaisesFalseAlarmsAsOftenAsAsked) {
  constexpr int kPages = 1000;
  for (const double correlation : {0.0, 0.6}) {
    for (const double rate : {0.02, 0.1, 0.5}) {
      const double seen = pages_with_alarms(rate, kPages, correlation);
      const auto expected = [](double r) { return 1 - std::exp(-r); };
      const auto spread = [](double p) { return 4 * std::sqrt(p * (1 - p) / kPages); };
      const double most = expected(kRateFactor * rate);
      const double least = expected(rate / kRateFactor);
      EXPECT_LE(seen, most + spread(most)) << rate << " " << correlation;
      EXPECT_GE(seen, least - spread(least)) << rate << " " << correlation;
    }
  }
}

TEST(BoxSearch, SeparatesTwoBoxesAndKeepsTheStrongerOfOverlaps) {
  Signal signal = white_noise(4, 4000, kNoise);
  add_box(signal, 1000, 8, 0.2);
  add_box(signal, 1040, 16, 0.3);
  const auto found = search_boxes(signal, {1, 100, 1e-7});
  ASSERT_GE(found.size(), 2U);
  EXPECT_NEAR(found[0].centre, 1047.5, 1);
  EXPECT_EQ(found[0].width, 16);
  EXPECT_NEAR(found[1].centre, 1003.5, 1);
  EXPECT_EQ(found[1].width, 8);
  for (std::size_t a = 0; a < found.size(); ++a) {
    for (std::size_t b = 0; b < a; ++b) {
      EXPECT_GE(std::abs(found[a].centre - found[b].centre), 0.5 * (found[a].width + found[b].width));
      EXPECT_LE(found[a].z, found[b].z);
    }
  }
}

TEST(BoxSearch, SeesLossOnlyAndOnlyInsideItsRange) {
  Signal signal = white_noise(9, 4000, kNoise);
  add_box(signal, 300, 8, 1);
  add_box(signal, 2000, 8, -1);
  signal.from = 500;
  EXPECT_TRUE(search_boxes(signal, {1, 16, 1e-7}).empty());
  EXPECT_TRUE(search_boxes(Signal{}, {}).empty());
}

}  // namespace
}  // namespace scrapetrace::streak
