#pragma once
// Tint screens: which drum pixels of a row are inked.

#include <array>
#include <cstdint>

#include "press/random.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/simulate.h"

namespace scrapetrace::press {

// A stochastic (FM) screen. Thresholds are a jittered additive recurrence t = frac(alpha * strip + beta *
// row), evenly spread along columns and rows, so every column has the asked coverage. Inks use square roots
// of different primes, so that overprinted screens are independent.
class StochasticScreen {
 public:
  StochasticScreen(std::uint64_t seed, std::size_t ink, int row)
      : alpha_(kSteps[2 * (ink % (kSteps.size() / 2))]),
        start_(static_cast<std::uint32_t>(key(seed, Stream::screen, ink)) +
               kSteps[2 * (ink % (kSteps.size() / 2)) + 1] * static_cast<std::uint32_t>(row)),
        jitter_key_(key(seed, Stream::screen, ink, static_cast<std::uint64_t>(row) + 1)) {}

  [[nodiscard]] bool inked(std::size_t strip, float coverage) const {
    const auto jitter = static_cast<std::uint32_t>(mix(jitter_key_ + strip) >> 37);  // 1/32 of the range
    const std::uint32_t threshold = alpha_ * static_cast<std::uint32_t>(strip) + start_ + jitter;
    return static_cast<double>(threshold) < static_cast<double>(coverage) * 0x1p32;
  }

 private:
  // frac(sqrt(p)) * 2^32 for p = 2, 3, 5, ..., 37: two for each of six inks.
  static constexpr std::array<std::uint32_t, 12> kSteps{0x6A09E667, 0xBB67AE85, 0x3C6EF372, 0xA54FF53A,
                                                        0x510E527F, 0x9B05688C, 0x1F83D9AB, 0x5BE0CD19,
                                                        0xCBBB9D5D, 0x629A292A, 0x9159015A, 0x152FECD8};
  std::uint32_t alpha_;
  std::uint32_t start_;
  std::uint64_t jitter_key_;
};

// A halftone (AM) screen: square cells at an angle, each with one dot that grows from its centre. A pixel's
// threshold is the fraction of a cell where cos 2 pi u + cos 2 pi v is larger; u and v count cells along and
// across the screen lines. With columns nearly parallel to the lines it may produce a moire fringe. The first
// four inks have lines at 0, 60, -15 and 30 degrees from the given angle; with 15 these are 15, 75, 0 and 45
// (common practice, no source); further inks reuse them.
class HalftoneScreen {
 public:
  HalftoneScreen(const Raster& raster, double lines_per_inch, double angle_deg, std::size_t ink, int row);

  [[nodiscard]] bool inked(int column, float coverage) const {
    const auto c = static_cast<std::uint32_t>(column);
    return threshold(along_ + c * step_along_, across_ + c * step_across_) < coverage;
  }

 private:
  // Of positions in a cell, as fractions of 2^32.
  static float threshold(std::uint32_t along, std::uint32_t across);

  std::uint32_t along_;
  std::uint32_t across_;
  std::uint32_t step_along_;
  std::uint32_t step_across_;
};

}  // namespace scrapetrace::press
