#include "scan/pixel_statistics.h"

#include <cstdlib>

namespace scrapetrace::scan {

namespace {

constexpr int kEveryRow = 8;
constexpr int kFirstRow = 3;      // inside a coder's blocks of eight, not at their border
constexpr int kLargestStep = 24;  // code values; more is a printed edge
// Neighbours are alike: a count that was just raised would keep its successor waiting.
constexpr std::size_t kCounters = 4;

// The upper 8 bits.
int code_of(std::uint8_t sample) {
  return sample;
}
int code_of(std::uint16_t sample) {
  return sample >> 8;
}

}  // namespace

PixelSampler::PixelSampler(PixelStatistics& statistics, int width_px, int bands, int bytes_per_sample)
    : statistics_(statistics), width_px_(width_px), bands_(bands), bytes_per_sample_(bytes_per_sample) {
  statistics_.bits = 8 * bytes_per_sample;
}

void PixelSampler::add(const Rows& rows) {
  for (int r = 0; r < rows.count; ++r) {
    if (rows_seen_++ % kEveryRow != kFirstRow) continue;
    if (bytes_per_sample_ == 1) {
      count_codes(rows.row<std::uint8_t>(r));
      count_steps(rows.row<std::uint8_t>(r));
    } else {
      count_codes(rows.row<std::uint16_t>(r));
      count_steps(rows.row<std::uint16_t>(r));
    }
  }
}

template <class Sample>
void PixelSampler::count_codes(const Sample* samples) {
  for (int b = 0; b < bands_; ++b) {
    std::array<std::array<std::uint32_t, 256>, kCounters> counts{};
    for (int u = 0; u < width_px_; ++u) {
      const auto code =
          static_cast<std::size_t>(code_of(samples[static_cast<std::ptrdiff_t>(u) * bands_ + b]));
      ++counts[static_cast<std::size_t>(u) % kCounters][code];
    }
    for (std::size_t code = 0; code < 256; ++code) {
      std::uint64_t all = 0;
      for (const auto& counter : counts) all += counter[code];
      statistics_.codes[static_cast<std::size_t>(b)][code] += all;
    }
  }
  if (bands_ == 1) statistics_.codes[1] = statistics_.codes[2] = statistics_.codes[0];
}

template <class Sample>
void PixelSampler::count_steps(const Sample* samples) {
  const Sample* middle = samples + bands_ / 2;  // green, or grey
  std::array<int, 8> sums{};
  std::array<int, 8> counts{};
  for (int u = 1; u < width_px_; ++u) {
    const std::ptrdiff_t at = static_cast<std::ptrdiff_t>(u) * bands_;
    const int step = std::abs(code_of(middle[at]) - code_of(middle[at - bands_]));
    const int kept = step <= kLargestStep ? 1 : 0;
    sums[static_cast<std::size_t>(u) % 8] += kept * step;
    counts[static_cast<std::size_t>(u) % 8] += kept;
  }
  for (std::size_t phase = 0; phase < 8; ++phase) {
    statistics_.steps[phase].sum += sums[phase];
    statistics_.steps[phase].count += counts[phase];
  }
}

}  // namespace scrapetrace::scan
