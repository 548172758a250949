#include "scan/light_planes.h"

#include <algorithm>

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__)
#include <immintrin.h>
#define SCRAPETRACE_PLANES __attribute__((target("avx512f,avx512bw,avx512vbmi")))
#endif

namespace scrapetrace::scan {

LightPlanes::LightPlanes(std::span<const std::uint16_t, 256> light) {
  for (std::size_t code = 0; code < light.size(); ++code) {
    lower_[code] = static_cast<std::uint8_t>(light[code] & 0xFFU);
    upper_[code] = static_cast<std::uint8_t>(light[code] >> 8U);
  }
}

#ifdef SCRAPETRACE_PLANES

namespace {

constexpr std::size_t kLookedUp = 64;  // samples

// Sums of up to 256 bytes each, for samples at even and odd positions.
struct LightSums {
  std::array<std::uint16_t, kLookedUp / 2> even;
  std::array<std::uint16_t, kLookedUp / 2> odd;
};

// A look-up table of 256 bytes.
struct ByteTable {
  __m512i quarter[4];
};

SCRAPETRACE_PLANES inline ByteTable table_of(const std::array<std::uint8_t, 256>& bytes) {
  return {{_mm512_loadu_si512(bytes.data()), _mm512_loadu_si512(bytes.data() + 64),
           _mm512_loadu_si512(bytes.data() + 128), _mm512_loadu_si512(bytes.data() + 192)}};
}

SCRAPETRACE_PLANES inline __m512i look_up(const ByteTable& table, __m512i codes, __mmask64 upper_half) {
  return _mm512_mask_blend_epi8(upper_half,
                                _mm512_permutex2var_epi8(table.quarter[0], codes, table.quarter[1]),
                                _mm512_permutex2var_epi8(table.quarter[2], codes, table.quarter[3]));
}

// Sums of bytes in 16-bit lanes, and separately of the bytes at odd positions. The sums at even positions
// follow by subtraction modulo 2^16, since they stay below 2^16.
struct ByteSums {
  __m512i both;
  __m512i odd;
};

SCRAPETRACE_PLANES inline void count_in(__m512i bytes, ByteSums& sums) {
  sums.both = _mm512_add_epi16(sums.both, bytes);
  sums.odd = _mm512_add_epi16(sums.odd, _mm512_srli_epi16(bytes, 8));
}

SCRAPETRACE_PLANES inline LightSums sums_of(const ByteSums& sums) {
  LightSums out;
  _mm512_storeu_si512(out.even.data(), _mm512_sub_epi16(sums.both, _mm512_slli_epi16(sums.odd, 8)));
  _mm512_storeu_si512(out.odd.data(), sums.odd);
  return out;
}

SCRAPETRACE_PLANES inline void put(const LightSums& lower, const LightSums& upper, std::size_t count,
                                   std::uint32_t* sums) {
  std::array<std::uint32_t, kLookedUp> light;
  for (std::size_t k = 0; k < kLookedUp / 2; ++k) {
    light[2 * k] = lower.even[k] + (static_cast<std::uint32_t>(upper.even[k]) << 8U);
    light[2 * k + 1] = lower.odd[k] + (static_cast<std::uint32_t>(upper.odd[k]) << 8U);
  }
  for (std::size_t i = 0; i < count; ++i) sums[i] += light[i];
}

}  // namespace

bool LightPlanes::usable() {
  static const bool here =
      __builtin_cpu_supports("avx512vbmi") != 0 && __builtin_cpu_supports("avx512bw") != 0;
  return here;
}

SCRAPETRACE_PLANES void LightPlanes::add(const Rows& rows, std::size_t samples, std::uint32_t* sums) const {
  const ByteTable lower = table_of(lower_);
  const ByteTable upper = table_of(upper_);
  for (std::size_t from = 0; from < samples; from += kLookedUp) {
    const std::size_t count = std::min(kLookedUp, samples - from);
    const __mmask64 there = ~std::uint64_t{0} >> (kLookedUp - count);
    ByteSums low{_mm512_setzero_si512(), _mm512_setzero_si512()};
    ByteSums high = low;
    for (int r = 0; r < rows.count; ++r) {
      const __m512i codes = _mm512_maskz_loadu_epi8(there, rows.row<std::uint8_t>(r) + from);
      const __mmask64 upper_half = _mm512_movepi8_mask(codes);
      count_in(look_up(lower, codes, upper_half), low);
      count_in(look_up(upper, codes, upper_half), high);
    }
    put(sums_of(low), sums_of(high), count, sums + from);
  }
}

#else

bool LightPlanes::usable() {
  return false;
}
void LightPlanes::add(const Rows&, std::size_t, std::uint32_t*) const {}

#endif

}  // namespace scrapetrace::scan
