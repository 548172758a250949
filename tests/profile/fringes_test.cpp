// What repeats regularly across a profile, and is taken out of it.

#include "profile/fringes.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

namespace scrapetrace::profile {
namespace {

constexpr std::size_t kSamples = 3600;  // 300 mm at 300 dpi
constexpr double kPitch_mm = 25.4 / 300;
constexpr double kLevel = 0.6;  // a tint's light over the paper's

// Light of a tint whose ink varies by `ink(i)`, relative.
template <class Ink>
std::vector<float> light(const Ink& ink) {
  std::vector<float> out(kSamples);
  for (std::size_t i = 0; i < kSamples; ++i) out[i] = static_cast<float>(1 - (1 - kLevel) * (1 + ink(i)));
  return out;
}

double swing(std::size_t i, double period_mm) {
  return std::cos(2 * std::numbers::pi * static_cast<double>(i) * kPitch_mm / period_mm + 0.4);
}

int even_out(std::vector<float>& values) {
  const std::vector<float> level(values.size(), static_cast<float>(kLevel));
  return take_out_fringes(std::vector<TintProfile>{{values, level, 0, values.size()}}, {}, kPitch_mm, {});
}

// Largest relative deviation of the ink from what it should be, away from the ends.
template <class Ink>
double worst(const std::vector<float>& values, const Ink& ink) {
  double out = 0;
  for (std::size_t i = 100; i + 100 < kSamples; ++i) {
    const double seen = (1 - static_cast<double>(values[i])) / (1 - kLevel) - 1;
    out = std::max(out, std::abs(seen - ink(i)));
  }
  return out;
}

std::vector<double> noise(std::uint64_t seed, double sigma) {
  std::mt19937_64 draw(seed);
  std::normal_distribution<double> normal(0, sigma);
  std::vector<double> out(kSamples);
  for (double& value : out) value = normal(draw);
  return out;
}

TEST(Fringes, AreTakenOutAndTheStreakStays) {
  const auto streak = [](std::size_t i) { return i >= 1500 && i < 1524 ? -0.3 : 0.0; };  // 2 mm
  for (const double period_mm : {0.254, 0.32, 0.9, 3.3}) {
    auto values = light([&](std::size_t i) { return (1 + 0.2 * swing(i, period_mm)) * (1 + streak(i)) - 1; });
    EXPECT_GE(even_out(values), 1) << period_mm;
    EXPECT_LT(worst(values, streak), 0.02) << period_mm;
  }
}

TEST(Fringes, SeveralGoOneByOne) {
  auto values = light(
      [](std::size_t i) { return 0.12 * swing(i, 0.254) + 0.08 * swing(i, 0.36) + 0.03 * swing(i, 1.7); });
  EXPECT_GE(even_out(values), 3);
  EXPECT_LT(worst(values, [](std::size_t) { return 0.0; }), 0.005);
}

// A sheet that creeps under the scanner's bar: 0.04 mm to and fro, an eighth of the period.
TEST(Fringes, MayDrift) {
  const auto crept = [](std::size_t i) {
    return static_cast<double>(i) +
           0.1 / kPitch_mm * std::sin(2 * std::numbers::pi * static_cast<double>(i) / kSamples);
  };
  auto values =
      light([&](std::size_t i) { return 0.2 * std::cos(2 * std::numbers::pi * crept(i) * kPitch_mm / 0.3); });
  EXPECT_GE(even_out(values), 1);
  EXPECT_LT(worst(values, [](std::size_t) { return 0.0; }), 0.04);
}

// Heads that stand a tenth of a millimetre off carry their part of the screen with them.
TEST(Fringes, MayJumpWhereTold) {
  const auto none = [](std::size_t) { return 0.0; };
  auto values = light([](std::size_t i) {
    const double off_mm = i < 1200 ? 0 : i < 2400 ? 0.1 : -0.05;
    return 0.2 * std::cos(2 * std::numbers::pi * (static_cast<double>(i) * kPitch_mm + off_mm) / 0.34);
  });
  auto untold = values;
  const std::vector<float> level(kSamples, static_cast<float>(kLevel));
  const std::vector<std::size_t> breaks{1200, 2400};
  const std::vector<TintProfile> told{{values, level, 0, kSamples}};
  EXPECT_GE(take_out_fringes(told, breaks, kPitch_mm, {}), 1);
  EXPECT_LT(worst(values, none), 0.025);
  EXPECT_GE(even_out(untold), 1);
  EXPECT_GT(worst(untold, none), 0.1);
}

TEST(Fringes, NoiseHasNone) {
  int found = 0;
  for (std::uint64_t seed = 1; seed <= 200; ++seed) {
    const auto grain = noise(seed, 0.02);
    auto values = light([&](std::size_t i) { return grain[i]; });
    const auto before = values;
    if (even_out(values) > 0)
      ++found;
    else
      EXPECT_EQ(values, before);
  }
  EXPECT_LE(found, 2);
}

// Jets of different volumes, ten steps of three columns each: their spectrum has mountains, but no lines.
TEST(Fringes, JetsHaveNone) {
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    const auto volumes = noise(seed, 0.05);
    auto values = light([&](std::size_t i) {
      const auto column = i * 4 / 3;  // 400 columns an inch
      for (std::size_t k = 0; k < 10; ++k) {
        if (column >= 3 * k && (column - 3 * k) % 10 == 0) return volumes[(column - 3 * k) / 10];
      }
      return 0.0;
    });
    EXPECT_EQ(even_out(values), 0) << seed;
  }
}

// A screen that slants across the strips is as strong in each of them, and cancels in their mean: it is no
// fringe of the patch.
TEST(Fringes, AreOfAllStrips) {
  std::vector<std::vector<float>> strips;
  const std::vector<float> level(kSamples, static_cast<float>(kLevel));
  for (std::uint64_t k = 0; k < 4; ++k) {
    const auto grain = noise(k + 1, 0.005);
    strips.push_back(light([&](std::size_t i) {
      return grain[i] +
             0.05 * std::cos(2 * std::numbers::pi *
                             (static_cast<double>(i) * kPitch_mm / 0.3 + 0.25 * static_cast<double>(k)));
    }));
  }
  const auto before = strips;
  std::vector<TintProfile> profiles;
  for (auto& strip : strips) profiles.push_back({strip, level, 0, kSamples});
  EXPECT_EQ(take_out_fringes(profiles, {}, kPitch_mm, {}), 0);
  EXPECT_EQ(strips, before);
}

TEST(Fringes, ShortAndEvenProfilesAreLeft) {
  for (const std::size_t count : {0UL, 1UL, 7UL, 60UL}) {
    std::vector<float> values(count, 0.5F);
    const auto before = values;
    EXPECT_EQ(even_out(values), 0);
    EXPECT_EQ(values, before);
  }
  EXPECT_EQ(take_out_fringes({}, {}, kPitch_mm, {}), 0);
}

}  // namespace
}  // namespace scrapetrace::profile
