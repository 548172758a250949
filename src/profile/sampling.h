#pragma once
// How the samples of a profile come from pixels. Each row of a scan is interpolated between its pixels at a
// phase of its own, and what the cubic leaves of fine structure depends on that phase: of a pattern that
// repeats every 2.3 pixels all of it on a pixel, 28 % halfway between two.

#include <array>

namespace scrapetrace::profile {

// Keys 1981 (IEEE Trans. Acoust. Speech Signal Process. 29:1153), cubic convolution with a = -1/2: weights of
// the pixels at -1, 0, 1 and 2 for a place `t` past pixel 0, 0 <= t < 1. They sum to 1.
std::array<double, 4> cubic_taps(double t);

inline constexpr int kPhases = 16;

// How many rows were sampled how far past a pixel, by sixteenths of one, in the direction of the samples.
class Phases {
 public:
  void add(double past_pixel, double rows);
  void add(const Phases& other);
  // The mean row's interpolation: weight of the light k / 16 pixels to the right of a sample, for k from
  // -2 * kPhases to 2 * kPhases; they sum to 1. On a pixel without rows.
  [[nodiscard]] std::array<double, 4 * kPhases + 1> taps() const;

 private:
  std::array<double, kPhases> rows_{};
};

}  // namespace scrapetrace::profile
