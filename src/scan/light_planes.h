#pragma once
// Sums of linear light of 8-bit codes, by in-register tables of 64 bytes (AVX-512 VBMI).

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>

#include "scan/rows.h"

namespace scrapetrace::scan {

// Linear light of every code, its low and high bytes in separate tables.
class LightPlanes {
 public:
  explicit LightPlanes(std::span<const std::uint16_t, 256> light);

  // Whether this processor supports it; add() must not be called otherwise.
  static bool usable();
  // Adds the light of `rows` (at most kMostRows, `samples` in each) to `sums`.
  void add(const Rows& rows, std::size_t samples, std::uint32_t* sums) const;
  static constexpr int kMostRows = 256;

 private:
  std::array<std::uint8_t, 256> lower_{};
  std::array<std::uint8_t, 256> upper_{};
};

}  // namespace scrapetrace::scan
