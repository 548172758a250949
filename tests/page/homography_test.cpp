// Plane maps against OpenCV and scikit-image, and the spread of a placement by tags against its formula.

#include "page/homography.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <cmath>
#include <fstream>
#include <iomanip>
#include <random>

#include "page/place_by_tags.h"
#include "support/oracle.h"

namespace scrapetrace::page {
namespace {

std::vector<PointPair> pairs_under(const Eigen::Matrix3d& map, double noise) {
  std::mt19937 random(4);
  std::normal_distribution<double> normal(0, 1);
  std::vector<PointPair> pairs;
  for (const double x : {5.0, 80.0, 160.0, 240.0, 315.0}) {
    for (const double y : {10.0, 150.0, 300.0, 440.0}) {
      const Eigen::Vector2d from(x, y);
      const Eigen::Vector2d jitter(normal(random), normal(random));
      pairs.push_back({from, apply_homography(map, from) + noise * jitter});
    }
  }
  return pairs;
}

Eigen::Matrix3d tilted() {
  Eigen::Matrix3d map;
  map << 7.1, 0.9, 210, -0.6, 6.4, 340, 0.0004, -0.0003, 1;
  return map;
}

TEST(Homography, IsThatOfOtherLibraries) {
  const auto pairs = pairs_under(tilted(), 0.2);
  const std::string file = ::testing::TempDir() + "pairs_" + std::to_string(getpid()) + ".txt";
  {
    std::ofstream out(file);
    out << std::setprecision(17);
    for (const auto& p : pairs)
      out << p.from[0] << ' ' << p.from[1] << ' ' << p.to[0] << ' ' << p.to[1] << '\n';
  }
  const auto ours = fit_homography(pairs);
  ASSERT_TRUE(ours);
  const auto other = testing::ask_oracle("page/oracle_homography.py", file);
  ASSERT_EQ(other.size(), 18U);
  for (std::size_t library = 0; library < 2; ++library) {
    Eigen::Matrix3d theirs;
    for (Eigen::Index k = 0; k < 9; ++k)
      theirs(k / 3, k % 3) = other[9 * library + static_cast<std::size_t>(k)];
    // OpenCV goes on to the least geometric error, so compare where places go: far within the noise.
    for (const auto& p : pairs)
      EXPECT_LT((apply_homography(*ours, p.from) - apply_homography(theirs, p.from)).norm(), 0.02) << library;
  }
}

TEST(Homography, IsExactWithoutNoise) {
  const auto found = fit_homography(pairs_under(tilted(), 0));
  ASSERT_TRUE(found);
  EXPECT_LT((*found - tilted()).cwiseAbs().maxCoeff(), 1e-6);
}

TEST(Homography, NeedsFourPointsOffALine) {
  std::vector<PointPair> line;
  for (const double x : {0.0, 1.0, 2.0, 3.0, 4.0}) line.push_back({{x, 2 * x}, {x, 3 * x}});
  EXPECT_FALSE(fit_homography(line));
  EXPECT_FALSE(fit_affine(line));
  EXPECT_FALSE(fit_homography({{{0, 0}, {0, 0}}, {{1, 0}, {1, 0}}, {{0, 1}, {0, 1}}}));
}

DetectedTags four_corners(double a, double b, std::mt19937& random, double sigma_mm) {
  std::normal_distribution<double> normal(0, sigma_mm);
  DetectedTags seen;
  for (const double x : {-a, a}) {
    for (const double y : {-b, b}) {
      DetectedTag tag{seen.tags.size(), {}};
      const Eigen::Vector2d moved(x + normal(random), y + normal(random));
      const std::array<Eigen::Vector2d, 4> corners = {Eigen::Vector2d(-4, -4), {4, -4}, {4, 4}, {-4, 4}};
      for (std::size_t k = 0; k < 4; ++k)
        tag.stored_from_sheet[k] = {moved + corners[k], Eigen::Vector2d(x + 500, y + 500) + corners[k]};
      seen.tags.push_back(tag);
    }
  }
  return seen;
}

// With marks at (+-a, +-b) the variance is s^2 / 4 (1 + x^2/a^2 + y^2/b^2): a quarter in the middle, three
// quarters at a corner, 0.375 at a quarter point. Here by many fits, and as each fit says of itself.
TEST(PlaceByTags, SpreadsAsTheFormulaSays) {
  constexpr double kSigma_mm = 0.1;
  constexpr double kA = 100;
  constexpr double kB = 150;
  std::mt19937 random(9);
  const std::vector<std::pair<Eigen::Vector2d, double>> places = {
      {{500, 500}, 0.25}, {{500 + kA, 500 + kB}, 0.75}, {{500 + kA / 2, 500 + kB / 2}, 0.375}};
  std::vector<double> seen(places.size(), 0.0);
  std::vector<double> said(places.size(), 0.0);
  constexpr int kFits = 4000;
  for (int k = 0; k < kFits; ++k) {
    const auto fit = place_by_tags({}, four_corners(kA, kB, random, kSigma_mm));
    ASSERT_TRUE(fit);
    for (std::size_t i = 0; i < places.size(); ++i) {
      const auto& at = places[i].first;
      seen[i] += std::pow(fit->sheet_from_raster.x(at[0], at[1]) - (at[0] - 500), 2) / kFits;
      said[i] += std::pow(fit->sheet_from_raster.x_sigma(at[0], at[1]), 2) / kFits;
    }
  }
  for (std::size_t i = 0; i < places.size(); ++i) {
    const double expected = places[i].second * kSigma_mm * kSigma_mm;
    EXPECT_NEAR(seen[i], expected, 0.08 * expected) << i;
    EXPECT_NEAR(said[i], expected, 0.12 * expected) << i;  // the floor of 0.03 mm adds a little
  }
}

}  // namespace
}  // namespace scrapetrace::page
