#pragma once
// Sums of light of 8-bit codes on processors that look up 64 bytes at once in tables they hold (AVX-512
// VBMI).

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>

#include "scan/rows.h"

namespace scrapetrace::scan {

// The light of every code, its lower and its upper bytes apart.
class LightPlanes {
 public:
  explicit LightPlanes(std::span<const std::uint16_t, 256> light);

  // Whether this processor can do it; add() must not be called elsewhere.
  static bool usable();
  // Adds the light of `rows`, at most kMostRows, with `samples` in each, to `sums`.
  void add(const Rows& rows, std::size_t samples, std::uint32_t* sums) const;
  static constexpr int kMostRows = 256;

 private:
  std::array<std::uint8_t, 256> lower_{};
  std::array<std::uint8_t, 256> upper_{};
};

}  // namespace scrapetrace::scan
