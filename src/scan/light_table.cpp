#include "scan/light_table.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/srgb.h"
#include "base/wide.h"

namespace scrapetrace::scan {

namespace {

constexpr std::size_t kStretch = 1024;  // samples whose sums and table stay in the L1 cache
constexpr int kAtOnce = 8;              // rows per pass, so that a sum is loaded and stored once for all

using Pairs = std::array<std::uint16_t, kStretch>;

SCRAPETRACE_WIDE void pair_up(const std::uint8_t* a, const std::uint8_t* b, std::size_t n,
                              std::uint16_t* out) {
  for (std::size_t i = 0; i < n; ++i) out[i] = static_cast<std::uint16_t>(a[i] | (b[i] << 8U));
}

}  // namespace

LightTable::LightTable(int bytes_per_sample) : light_(bytes_per_sample == 1 ? 256 : 65536) {
  for (std::size_t i = 0; i < light_.size(); ++i) {
    const double code = static_cast<double>(i) / static_cast<double>(light_.size() - 1);
    light_[i] = static_cast<std::uint16_t>(std::lround(65535.0 * linear_from_srgb(code)));
  }
  if (bytes_per_sample != 1) return;
  if (LightPlanes::usable()) planes_.emplace(std::span<const std::uint16_t, 256>(light_));
  pairs_.resize(65536);
  for (std::size_t i = 0; i < pairs_.size(); ++i)
    pairs_[i] = static_cast<std::uint32_t>(light_[i % 256]) + light_[i / 256];
}

// Looks up two rows at a time. A page holds few different codes and neighbours are alike, so the used part of
// the table stays in the L1 cache.
template <>
void LightTable::add<std::uint8_t>(const Rows& rows, std::size_t samples, std::uint32_t* sums) const {
  if (planes_ && rows.count <= LightPlanes::kMostRows) return planes_->add(rows, samples, sums);
  std::array<Pairs, kAtOnce / 2> pairs;
  const std::uint32_t* table = pairs_.data();
  for (std::size_t from = 0; from < samples; from += kStretch) {
    const std::size_t n = std::min(kStretch, samples - from);
    std::uint32_t* out = sums + from;
    const auto row = [&](int r) { return rows.row<std::uint8_t>(r) + from; };
    int r = 0;
    for (; r + kAtOnce <= rows.count; r += kAtOnce) {
      for (int k = 0; k < kAtOnce; k += 2)
        pair_up(row(r + k), row(r + k + 1), n, pairs[static_cast<std::size_t>(k) / 2].data());
      for (std::size_t i = 0; i < n; ++i)
        out[i] += table[pairs[0][i]] + table[pairs[1][i]] + table[pairs[2][i]] + table[pairs[3][i]];
    }
    for (; r + 2 <= rows.count; r += 2) {
      pair_up(row(r), row(r + 1), n, pairs[0].data());
      for (std::size_t i = 0; i < n; ++i) out[i] += table[pairs[0][i]];
    }
    for (std::size_t i = 0; r < rows.count && i < n; ++i) out[i] += light_[row(r)[i]];
  }
}

template <>
void LightTable::add<std::uint16_t>(const Rows& rows, std::size_t samples, std::uint32_t* sums) const {
  for (int r = 0; r < rows.count; ++r) {
    const std::uint16_t* row = rows.row<std::uint16_t>(r);
    for (std::size_t i = 0; i < samples; ++i) sums[i] += light_[row[i]];
  }
}

}  // namespace scrapetrace::scan
