#pragma once
// The screen of a tint: which drum pixels are inked. Thresholds are a jittered additive recurrence
// t = frac(alpha * strip + beta * row): evenly spread along every column and every row, so each has the asked
// coverage and no column stands out. Inks use square roots of different primes, so that overprinted screens
// are independent of each other.

#include <array>
#include <cstdint>

#include "press/random.h"

namespace scrapetrace::press {

class Screen {
 public:
  Screen(std::uint64_t seed, std::size_t ink, int row)
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

}  // namespace scrapetrace::press
