#pragma once
// Code values to linear light, summed: the inner loop of reading a page.

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "scan/light_planes.h"
#include "scan/rows.h"

namespace scrapetrace::scan {

// Linear light of every sRGB code, 65535 = full scale.
class LightTable {
 public:
  // Of `bytes_per_sample` (1 or 2).
  explicit LightTable(int bytes_per_sample);

  [[nodiscard]] std::uint16_t of(std::size_t code) const { return light_[code]; }
  // Adds the light of `rows`, `samples` in each, to `sums`. Sample must match bytes_per_sample.
  template <class Sample>
  void add(const Rows& rows, std::size_t samples, std::uint32_t* sums) const;

 private:
  std::vector<std::uint16_t> light_;
  std::optional<LightPlanes> planes_;  // for 8-bit codes, where the processor supports it
  std::vector<std::uint32_t> pairs_;   // for 8-bit codes: entry a + 256 b is the light of a plus that of b
};

template <>
void LightTable::add<std::uint8_t>(const Rows& rows, std::size_t samples, std::uint32_t* sums) const;
template <>
void LightTable::add<std::uint16_t>(const Rows& rows, std::size_t samples, std::uint32_t* sums) const;

}  // namespace scrapetrace::scan
