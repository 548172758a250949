#pragma once
// Code values to linear light and sums of it: what reading a page does for every sample.

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "scan/rows.h"

namespace scrapetrace::scan {

// Linear light of every sRGB code of `bytes_per_sample` (1 or 2), 65535 = full scale.
std::vector<std::uint16_t> light_table(int bytes_per_sample);

// Adds the light of `rows`, `samples` in each, to `sums`. Several rows at a time, so that a sum is fetched
// and put back once for all of them, and in stretches whose sums stay in the nearest cache.
template <class Sample>
void add_light(const std::uint16_t* light, const Rows& rows, std::size_t samples, std::uint32_t* sums) {
  constexpr std::size_t kStretch = 4096;
  for (std::size_t from = 0; from < samples; from += kStretch) {
    const std::size_t n = std::min(kStretch, samples - from);
    std::uint32_t* out = sums + from;
    int r = 0;
    for (; r + 4 <= rows.count; r += 4) {
      const Sample* a = rows.row<Sample>(r) + from;
      const Sample* b = rows.row<Sample>(r + 1) + from;
      const Sample* c = rows.row<Sample>(r + 2) + from;
      const Sample* d = rows.row<Sample>(r + 3) + from;
      for (std::size_t i = 0; i < n; ++i)
        out[i] += static_cast<std::uint32_t>(light[a[i]]) + light[b[i]] + light[c[i]] + light[d[i]];
    }
    for (; r < rows.count; ++r) {
      const Sample* a = rows.row<Sample>(r) + from;
      for (std::size_t i = 0; i < n; ++i) out[i] += light[a[i]];
    }
  }
}

}  // namespace scrapetrace::scan
