#include "scan/pixel_statistics.h"

#include <algorithm>
#include <cstdlib>

#include "base/wide.h"

namespace scrapetrace::scan {

namespace {

constexpr std::size_t kPhases = 8;

// The upper 8 bits of one band.
void take_band(const std::uint16_t* samples, std::size_t bands, std::size_t size, std::uint8_t* line) {
  for (std::size_t u = 0; u < size; ++u) line[u] = static_cast<std::uint8_t>(samples[u * bands] >> 8U);
}

// A loop that compilers vectorise.
SCRAPETRACE_WIDE void take_green(const std::uint8_t* samples, std::size_t size, std::uint8_t* line) {
  for (std::size_t u = 0; u < size; ++u) line[u] = samples[3 * u + 1];
}

using Codes = std::array<std::uint64_t, 256>;

// A histogram per band of interleaved samples. Neighbours are alike, and incrementing the same counter twice
// stalls the processor: separate counters, merged at the end.
template <std::size_t kBands>
void count_codes(const std::uint8_t* samples, std::size_t size, Codes* codes) {
  constexpr std::size_t kCounters = kBands == 1 ? 4 : 6;
  std::array<std::array<std::uint32_t, 256>, kCounters> counts{};
  std::size_t i = 0;
  for (; i + kCounters <= size; i += kCounters) {
    for (std::size_t k = 0; k < kCounters; ++k) ++counts[k][samples[i + k]];
  }
  for (std::size_t k = 0; i < size; ++i, ++k) ++counts[k][samples[i]];
  for (std::size_t k = 0; k < kCounters; ++k) {
    for (std::size_t code = 0; code < counts[k].size(); ++code) codes[k % kBands][code] += counts[k][code];
  }
}

// Differences between neighbours, by column modulo eight.
struct Steps {
  std::array<int, kPhases> sum{};
  std::array<int, kPhases> count{};
};

SCRAPETRACE_WIDE Steps count_steps(const std::uint8_t* line, std::size_t size) {
  Steps out;
  std::array<int, kPhases> sum{};
  std::array<int, kPhases> count{};
  std::size_t u = kPhases;
  for (; u + kPhases <= size; u += kPhases) {
    for (std::size_t k = 0; k < kPhases; ++k) {
      const int step = std::abs(line[u + k] - line[u + k - 1]);
      const int kept = step <= kLargestStep ? 1 : 0;
      sum[k] += kept * step;
      count[k] += kept;
    }
  }
  out.sum = sum;
  out.count = count;
  const auto one = [&](std::size_t at) {
    const int step = std::abs(line[at] - line[at - 1]);
    if (step > kLargestStep) return;
    out.sum[at % kPhases] += step;
    ++out.count[at % kPhases];
  };
  for (std::size_t at = 1; at < std::min(kPhases, size); ++at) one(at);
  for (; u < size; ++u) one(u);
  return out;
}

}  // namespace

PixelSampler::PixelSampler(PixelStatistics& statistics, int width_px, int bands, int bytes_per_sample)
    : statistics_(statistics),
      bands_(bands),
      bytes_per_sample_(bytes_per_sample),
      line_(static_cast<std::size_t>(width_px)) {
  statistics_.bits = 8 * bytes_per_sample;
}

void PixelSampler::add(const Rows& rows) {
  for (int r = 0; r < rows.count; ++r) {
    if (rows_seen_++ % kEveryRow != kFirstRow) continue;
    bytes_per_sample_ == 1 ? detect_format(rows.row<std::uint8_t>(r))
                           : detect_format(rows.row<std::uint16_t>(r));
  }
}

void PixelSampler::detect_format(const std::uint16_t* samples) {
  auto& codes = statistics_.codes;
  for (std::size_t b = 0; b < codes.size() && b < static_cast<std::size_t>(bands_); ++b) {
    take_band(samples + b, static_cast<std::size_t>(bands_), line_.size(), line_.data());
    count_codes<1>(line_.data(), line_.size(), &codes[b]);
    if (static_cast<int>(b) == bands_ / 2) take_steps();  // green, or grey
  }
  if (bands_ == 1) codes[1] = codes[2] = codes[0];
}

void PixelSampler::detect_format(const std::uint8_t* samples) {
  auto& codes = statistics_.codes;
  if (bands_ == 1) {
    count_codes<1>(samples, line_.size(), codes.data());
    codes[1] = codes[2] = codes[0];
    std::copy_n(samples, line_.size(), line_.data());
  } else {
    count_codes<3>(samples, 3 * line_.size(), codes.data());
    take_green(samples, line_.size(), line_.data());
  }
  take_steps();
}

void PixelSampler::take_steps() {
  const Steps steps = count_steps(line_.data(), line_.size());
  for (std::size_t phase = 0; phase < kPhases; ++phase) {
    statistics_.steps[phase].sum += steps.sum[phase];
    statistics_.steps[phase].count += steps.count[phase];
  }
}

void join(PixelStatistics& statistics, const PixelStatistics& other) {
  for (std::size_t c = 0; c < statistics.codes.size(); ++c) {
    for (std::size_t code = 0; code < statistics.codes[c].size(); ++code)
      statistics.codes[c][code] += other.codes[c][code];
  }
  for (std::size_t phase = 0; phase < kPhases; ++phase) {
    statistics.steps[phase].sum += other.steps[phase].sum;
    statistics.steps[phase].count += other.steps[phase].count;
  }
}

}  // namespace scrapetrace::scan
