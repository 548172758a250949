// Strips of a field whose covariance is known: cosines with normally distributed wave numbers add up to one
// of covariance exp(-d^2 / (2 length^2)) (A. Rahimi and B. Recht, Random Features for Large-Scale Kernel
// Machines, NIPS 2007: Bochner's theorem), and their means over bands are cosines too.
#include "likelihood/strip_noise.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <ostream>
#include <random>

namespace scrapetrace::diagnose {
namespace {

struct Field {
  struct Wave {
    double across = 0;
    double along = 0;
    double phase = 0;
  };
  std::vector<Wave> waves;
  double size = 0;

  Field(double sigma, double length_mm, unsigned seed) {
    std::mt19937 random(seed);
    std::normal_distribution<double> number(0, 1 / length_mm);
    std::uniform_real_distribution<double> phase(0, 2 * std::numbers::pi);
    for (int k = 0; k < 150; ++k) waves.push_back({number(random), number(random), phase(random)});
    size = sigma * std::sqrt(2.0 / static_cast<double>(waves.size()));
  }
  [[nodiscard]] double mean(double x_mm, const Interval& y_mm) const {
    const double middle = 0.5 * (y_mm.from_mm + y_mm.to_mm);
    const double half = 0.5 * (y_mm.to_mm - y_mm.from_mm);
    double sum = 0;
    for (const Wave& w : waves)
      sum += std::cos(w.across * x_mm + w.along * middle + w.phase) * std::sin(w.along * half) /
             (w.along * half);
    return size * sum;
  }
};

// Patches of `strips` strips each; every patch has a field of its own.
struct Patches {
  static constexpr int kPatches = 6;
  profile::PreparedScan scan;
  std::vector<const profile::InkView*> views;

  Patches(double sigma, double length_mm, double fine, double height_mm, int strips, int patches = kPatches) {
    scan.strips.grid = {0, 0.1, 4000};
    std::mt19937 random(17);
    for (int p = 0; p < patches; ++p) {
      const Field field(sigma, length_mm, 5 + static_cast<unsigned>(p));
      for (int s = 0; s < strips; ++s) {
        const double from_mm = 100.0 * p + s * height_mm;
        add(field, p, {from_mm, from_mm + height_mm}, fine, random);
      }
    }
    for (const auto& view : scan.views.inked) views.push_back(&view);
  }

  void add(const Field& field, int patch, const Interval& y_mm, double fine, std::mt19937& random) {
    std::normal_distribution<double> noise(0, fine);
    profile::Strip strip;
    strip.patch = patch;
    strip.y_mm = y_mm;
    strip.to = scan.strips.grid.size;
    profile::InkView view;
    view.strip = scan.strips.strips.size();
    for (int i = 0; i < scan.strips.grid.size; ++i)
      view.loss.push_back(static_cast<float>(field.mean(0.1 * i, y_mm) + noise(random)));
    scan.strips.strips.push_back(strip);
    scan.views.inked.push_back(std::move(view));
  }

  // Variance of what the mean over a patch's strips has of its field.
  [[nodiscard]] double mean_variance(double fine, int strips) const {
    double sum = 0;
    const auto samples = static_cast<std::size_t>(scan.strips.grid.size);
    for (std::size_t i = 0; i < samples; ++i) {
      for (std::size_t first = 0; first < views.size(); first += static_cast<std::size_t>(strips)) {
        double mean = 0;
        for (std::size_t s = 0; s < static_cast<std::size_t>(strips); ++s)
          mean += static_cast<double>(views[first + s]->loss[i]) / strips;
        sum += mean * mean;
      }
    }
    return sum / static_cast<double>(samples * views.size() / static_cast<std::size_t>(strips)) -
           fine * fine / strips;
  }
};

std::optional<StripNoise> noise_of(const Patches& page) {
  const auto noise = compare_strips(page.scan, {{0, page.views}});
  return noise.empty() ? std::nullopt : std::optional(noise.at(0));
}

struct Sheet {
  double length_mm;
  double height_mm;
  int strips;
};
void PrintTo(const Sheet& sheet, std::ostream* out) {
  *out << sheet.strips << " strips of " << sheet.length_mm << " mm, height " << sheet.height_mm;
}

class StripNoiseOf : public testing::TestWithParam<Sheet> {};

TEST_P(StripNoiseOf, TellsMottleFromGrainAndCountsWhatNeighboursShare) {
  const Sheet sheet = GetParam();
  constexpr double kFine = 0.002;
  const Patches page(0.01, sheet.length_mm, kFine, sheet.height_mm, sheet.strips);
  const auto noise = noise_of(page);
  ASSERT_TRUE(noise);
  EXPECT_NEAR(noise->fine, kFine, 0.15 * kFine);
  EXPECT_NEAR(noise->mottle_mm, sheet.length_mm, 0.2 * sheet.length_mm);
  const double meant = std::sqrt(page.mean_variance(kFine, sheet.strips));
  EXPECT_NEAR(noise->mottle / std::sqrt(static_cast<double>(sheet.strips)), meant, 0.2 * meant);
  EXPECT_LT(noise->slow, 1.05 * noise->mottle);  // neighbours share some
}

INSTANTIATE_TEST_SUITE_P(Lengths, StripNoiseOf,
                         testing::Values(Sheet{3, 6, 2}, Sheet{3, 12, 3}, Sheet{1.5, 6, 2}, Sheet{5, 12, 2}));

TEST(StripNoise, GrainAloneIsNoMottle) {
  const Patches page(0, 3, 0.004, 6, 2);
  const auto noise = noise_of(page);
  ASSERT_TRUE(noise);
  EXPECT_NEAR(noise->fine, 0.004, 0.0004);
  EXPECT_LT(noise->mottle, 0.0008);
}

TEST(StripNoise, OneStripHasNothingToCompareWith) {
  const Patches page(0.01, 3, 0.002, 6, 1, 1);
  EXPECT_FALSE(noise_of(page));
}

// One ink's strips alone, few as they are, say little about a length that all of the sheet's inks have.
TEST(StripNoise, InksHaveOneLength) {
  const Patches all(0.01, 3, 0.002, 6, 2, 24);
  std::map<int, std::vector<const profile::InkView*>> inks;
  for (std::size_t v = 0; v < all.views.size(); ++v) inks[static_cast<int>(v / 12)].push_back(all.views[v]);
  const auto noise = compare_strips(all.scan, inks);
  ASSERT_EQ(noise.size(), 4U);
  for (const auto& [ink, n] : noise) {
    EXPECT_EQ(n.mottle_mm, noise.at(0).mottle_mm);
    EXPECT_NEAR(n.mottle_mm, 3, 0.5);
    EXPECT_NEAR(n.mottle, noise.at(0).mottle, 0.3 * n.mottle);
  }
}

}  // namespace
}  // namespace scrapetrace::diagnose
