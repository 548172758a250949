#include "scan/pixel_statistics.h"

#include <algorithm>
#include <cstdlib>

#include "base/wide.h"

namespace scrapetrace::scan {

namespace {

constexpr int kEveryRow = 8;
constexpr int kFirstRow = 3;      // inside a coder's blocks of eight, not at their border
constexpr int kLargestStep = 24;  // code values; more is a printed edge
constexpr std::size_t kPhases = 8;
// Neighbours are alike: a count that was just raised would keep its successor waiting.
constexpr std::size_t kCounters = 4;

// The upper 8 bits.
std::uint8_t code_of(std::uint8_t sample) {
  return sample;
}
std::uint8_t code_of(std::uint16_t sample) {
  return static_cast<std::uint8_t>(sample >> 8);
}

template <class Sample>
void take_band(const Sample* samples, std::size_t bands, std::size_t size, std::uint8_t* line) {
  for (std::size_t u = 0; u < size; ++u) line[u] = code_of(samples[u * bands]);
}

using Codes = std::array<std::uint64_t, 256>;

// Codes of one band of a row. Bytes may be anybody's, so that what is counted is kept apart until the end.
void count_codes(const std::uint8_t* line, std::size_t size, Codes& codes) {
  std::array<std::array<std::uint32_t, 256>, kCounters> counts{};
  std::size_t u = 0;
  for (; u + kCounters <= size; u += kCounters) {
    ++counts[0][line[u]];
    ++counts[1][line[u + 1]];
    ++counts[2][line[u + 2]];
    ++counts[3][line[u + 3]];
  }
  for (; u < size; ++u) ++counts[0][line[u]];
  for (std::size_t code = 0; code < codes.size(); ++code)
    codes[code] += counts[0][code] + counts[1][code] + counts[2][code] + counts[3][code];
}

// Steps to a sample from the one before, by the sample's place modulo eight.
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
    bytes_per_sample_ == 1 ? look_at(rows.row<std::uint8_t>(r)) : look_at(rows.row<std::uint16_t>(r));
  }
}

template <class Sample>
void PixelSampler::look_at(const Sample* samples) {
  for (int b = 0; b < bands_; ++b) {
    take_band(samples + b, static_cast<std::size_t>(bands_), line_.size(), line_.data());
    count_codes(line_.data(), line_.size(), statistics_.codes[static_cast<std::size_t>(b)]);
    if (b != bands_ / 2) continue;  // green, or grey
    const Steps steps = count_steps(line_.data(), line_.size());
    for (std::size_t phase = 0; phase < kPhases; ++phase) {
      statistics_.steps[phase].sum += steps.sum[phase];
      statistics_.steps[phase].count += steps.count[phase];
    }
  }
  if (bands_ == 1) statistics_.codes[1] = statistics_.codes[2] = statistics_.codes[0];
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
