#include "scan/pixel_statistics.h"

#include <algorithm>
#include <cstdlib>

namespace scrapetrace::scan {

namespace {

constexpr int kEveryRow = 8;
constexpr int kFirstRow = 3;      // inside a coder's blocks of eight, not at their border
constexpr int kLargestStep = 24;  // code values; more is a printed edge

}  // namespace

PixelSampler::PixelSampler(PixelStatistics& statistics, int width_px, int bands, int bytes_per_sample)
    : statistics_(statistics), width_px_(width_px), bands_(bands), bytes_per_sample_(bytes_per_sample) {
  statistics_.bits = 8 * bytes_per_sample;
}

void PixelSampler::add_row(const std::uint8_t* samples) {
  if (rows_seen_++ % kEveryRow != kFirstRow) return;
  if (bytes_per_sample_ == 1) {
    count(samples);
  } else {
    count(reinterpret_cast<const std::uint16_t*>(samples));
  }
}

template <class Sample>
void PixelSampler::count(const Sample* samples) {
  constexpr int kShift = 8 * (static_cast<int>(sizeof(Sample)) - 1);
  const auto code = [&](int u, int b) {
    return samples[static_cast<std::size_t>(u) * static_cast<std::size_t>(bands_) +
                   static_cast<std::size_t>(b)] >>
           kShift;
  };
  const int middle = bands_ / 2;  // green, or grey
  for (int u = 0; u < width_px_; ++u) {
    for (int b = 0; b < 3; ++b) {
      ++statistics_
            .codes[static_cast<std::size_t>(b)][static_cast<std::size_t>(code(u, std::min(b, bands_ - 1)))];
    }
    if (u == 0) continue;
    const int step = std::abs(code(u, middle) - code(u - 1, middle));
    if (step > kLargestStep) continue;
    auto& phase = statistics_.steps[static_cast<std::size_t>(u % 8)];
    phase.sum += step;
    phase.count += 1;
  }
}

}  // namespace scrapetrace::scan
