// The cubic between pixels, against its published properties, and what rows at several phases make of a
// pattern.

#include "profile/sampling.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <numeric>

namespace scrapetrace::profile {
namespace {

// Keys 1981: cubic convolution with a = -1/2 reproduces quadratics. Halfway its weights are -1/16 and 9/16.
TEST(CubicTaps, ReproduceQuadratics) {
  for (const double t : {0.0, 0.2, 0.5, 0.77}) {
    const auto taps = cubic_taps(t);
    for (const int power : {0, 1, 2}) {
      double sum = 0;
      for (int pixel = -1; pixel <= 2; ++pixel)
        sum += taps[static_cast<std::size_t>(pixel + 1)] * std::pow(pixel, power);
      EXPECT_NEAR(sum, std::pow(t, power), 1e-12) << t << " " << power;
    }
  }
  EXPECT_DOUBLE_EQ(cubic_taps(0.5)[0], -1.0 / 16);
  EXPECT_DOUBLE_EQ(cubic_taps(0.5)[1], 9.0 / 16);
}

// What is left of a wave of so many cycles per pixel.
double kept_of_wave(const Phases& phases, double cycles) {
  const auto taps = phases.taps();
  double sum = 0;
  for (std::size_t k = 0; k < taps.size(); ++k) {
    const double offset_px = static_cast<double>(k) / kPhases - 2;
    sum += taps[k] * std::cos(2 * std::numbers::pi * cycles * offset_px);
  }
  return sum;
}

TEST(Phases, TellWhatIsLeftOfAWave) {
  constexpr double kCycles = 0.44;
  EXPECT_NEAR(kept_of_wave({}, kCycles), 1, 1e-12);
  Phases on_pixels;
  on_pixels.add(0.0, 7);
  EXPECT_NEAR(kept_of_wave(on_pixels, kCycles), 1, 1e-12);
  Phases halfway;
  halfway.add(0.5, 7);
  const double angle = std::numbers::pi * kCycles;
  const double left = 1.125 * std::cos(angle) - 0.125 * std::cos(3 * angle);  // of the four weights
  EXPECT_NEAR(kept_of_wave(halfway, kCycles), left, 1e-12);
  halfway.add(on_pixels);  // as many rows of either
  EXPECT_NEAR(kept_of_wave(halfway, kCycles), 0.5 * (1 + left), 1e-12);
}

// Rows at all phases alike: the transform of the cubic itself, as Keys gives it.
TEST(Phases, OfASkewedSheetAreTheCubicsTransform) {
  Phases all;
  for (int k = 0; k < kPhases; ++k) all.add(static_cast<double>(k) / kPhases, 1);
  for (const double cycles : {0.1, 0.25, 0.44}) {
    const auto sinc = [&](double times) {
      const double x = std::numbers::pi * times * cycles;
      return std::sin(x) / x;
    };
    const double unit = 1 / std::pow(std::numbers::pi * cycles, 2);
    const double expected =
        3 * unit * (sinc(1) * sinc(1) - sinc(2)) - unit * (3 * sinc(2) * sinc(2) - 2 * sinc(2) - sinc(4));
    EXPECT_NEAR(kept_of_wave(all, cycles), expected, 2e-3) << cycles;
  }
}

TEST(Phases, GoRoundByWholePixels) {
  Phases a;
  a.add(-0.25, 1);
  Phases b;
  b.add(3.75, 1);
  EXPECT_EQ(a.taps(), b.taps());
  const auto taps = a.taps();
  EXPECT_NEAR(std::accumulate(taps.begin(), taps.end(), 0.0), 1, 1e-12);
  EXPECT_DOUBLE_EQ(taps[2 * kPhases - 12], cubic_taps(0.75)[1]);  // the pixel three quarters to the left
}

}  // namespace
}  // namespace scrapetrace::profile
