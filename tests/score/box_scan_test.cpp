// What a matched filter finds that must try all places and widths, beside trials of it.

#include "score/box_scan.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <random>
#include <vector>

namespace scrapetrace::score {
namespace {

// Pd = Q(Q^-1(Pfa) - d'): textbook values of signal detection, thresholds at Pfa 1e-2, 1e-3, 1e-4, 1e-6.
TEST(MatchedFilter, Table) {
  struct Row {
    double threshold;
    std::array<double, 6> pd;
  };
  const std::array<Row, 4> rows{{{2.3263, {0.09236, 0.37208, 0.74973, 0.95290, 0.99625, 0.99988}},
                                 {3.0902, {0.01830, 0.13781, 0.46405, 0.81853, 0.97192, 0.99819}},
                                 {3.7190, {0.00327, 0.04281, 0.23607, 0.61064, 0.89990, 0.98873}},
                                 {4.7534, {0.00009, 0.00295, 0.03976, 0.22560, 0.59738, 0.89372}}}};
  for (const Row& row : rows) {
    for (std::size_t d = 0; d < row.pd.size(); ++d)
      EXPECT_NEAR(matched_filter_share(static_cast<double>(d + 1), row.threshold), row.pd[d], 2e-5);
  }
}

std::vector<double> noise(int size, std::mt19937& random) {
  std::normal_distribution<double> normal;
  std::vector<double> out(static_cast<std::size_t>(size));
  for (double& v : out) v = normal(random);
  return out;
}

// The most that boxes of [narrowest, widest] steps give anywhere.
double most_of(const std::vector<double>& values, int narrowest, int widest) {
  std::vector<double> sums{0};
  for (const double v : values) sums.push_back(sums.back() + v);
  double most = 0;
  for (int w = narrowest; w <= widest; ++w) {
    double best = 0;
    for (std::size_t i = 0; i + static_cast<std::size_t>(w) < sums.size(); ++i)
      best = std::max(best, sums[i + static_cast<std::size_t>(w)] - sums[i]);
    most = std::max(most, best / std::sqrt(w));
  }
  return most;
}

// Alarms are rare and so Poisson: a page has one or more with 1 - exp(-expected).
TEST(BoxScan, NoisePassesAsOftenAsExpected) {
  std::mt19937 random(11);
  constexpr int kPages = 1500;
  for (const int narrowest : {1, 5, 20}) {
    const BoxScan scan{800, static_cast<double>(narrowest), 100};
    const double often = scan_threshold(scan, 0.2);
    const double seldom = scan_threshold(scan, 0.05);
    int above_often = 0;
    int above_seldom = 0;
    for (int page = 0; page < kPages; ++page) {
      const double most = most_of(noise(800, random), narrowest, 100);
      above_often += most > often ? 1 : 0;
      above_seldom += most > seldom ? 1 : 0;
    }
    EXPECT_NEAR(static_cast<double>(above_often) / kPages, 1 - std::exp(-0.2), 0.045) << narrowest;
    EXPECT_NEAR(static_cast<double>(above_seldom) / kPages, 1 - std::exp(-0.05), 0.02) << narrowest;
  }
}

TEST(BoxScan, ThresholdsAreThoseOfTheAlarms) {
  const BoxScan scan{4096, 5, 256};
  for (const double alarms : {1.0, 0.1, 0.01, 0.001})
    EXPECT_NEAR(expected_alarms(scan, scan_threshold(scan, alarms)), alarms, 1e-6 * alarms);
  // By as many independent cells as widths that double have, 1613, the threshold would be 4.37.
  EXPECT_NEAR(scan_threshold(scan, 0.01), 4.94, 0.01);
}

TEST(BoxScan, FindsABoxAsOftenAsExpected) {
  std::mt19937 random(12);
  constexpr double kThreshold = 4.94;
  constexpr int kTrials = 2000;
  for (const int width : {6, 24, 96}) {
    for (const double d_prime : {5.0, 6.0}) {
      int found = 0;
      for (int trial = 0; trial < kTrials; ++trial) {
        auto values = noise(3 * width, random);
        for (int i = width; i < 2 * width; ++i)
          values[static_cast<std::size_t>(i)] += d_prime / std::sqrt(width);
        found += most_of(values, std::max(1, width / 3), 2 * width) > kThreshold ? 1 : 0;
      }
      EXPECT_NEAR(static_cast<double>(found) / kTrials, scanned_share(d_prime, kThreshold, width), 0.045)
          << width << ' ' << d_prime;
    }
    EXPECT_NEAR(scanned_share(d_prime_for(0.9, kThreshold, width), kThreshold, width), 0.9, 1e-9);
    // More than at the right place alone, and the same to the eye.
    EXPECT_GT(scanned_share(5.5, kThreshold, width), matched_filter_share(5.5, kThreshold));
    EXPECT_NEAR(scanned_share(kThreshold, kThreshold, width),
                scanned_share(kThreshold + 1e-3, kThreshold, width), 1e-3);
  }
}

}  // namespace
}  // namespace scrapetrace::score
