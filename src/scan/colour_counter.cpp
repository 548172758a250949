#include "scan/colour_counter.h"

#include <algorithm>
#include <iterator>
#include <utility>

namespace scrapetrace::scan {

namespace {

constexpr int kCountedRow = 8;
constexpr std::size_t kPalette = 256;
constexpr std::size_t kFewGreys = 32;  // a scanner's grey has hundreds
constexpr double kNoisy = 0.02;        // of the pixels: scans have 0.8, coarse palettes 0.1, drawings 0.01
constexpr double kEnough = 1000;       // pixels that differ; smaller pictures say nothing

}  // namespace

ColourCounter::ColourCounter(int width_px, int bands, int bytes_per_sample)
    : width_px_(width_px),
      bands_(bands),
      most_(bands == 1 ? kFewGreys : kPalette),
      full_(bytes_per_sample != 1) {}

void ColourCounter::add(const Rows& rows) {
  for (int r = 0; r < rows.count && !full_; ++r) {
    if (rows_seen_++ % kCountedRow == 0) count_row(rows.row<std::uint8_t>(r));
  }
}

void ColourCounter::count_row(const std::uint8_t* samples) {
  std::uint32_t last = 1U << 24U;  // no colour
  for (int u = 0; u < width_px_ && !full_; ++u) {
    std::uint32_t colour = 0;
    for (int b = 0; b < bands_; ++b) colour = (colour << 8U) | *samples++;
    if (colour == last) continue;
    last = colour;
    ++changes_;
    const auto at = std::lower_bound(colours_.begin(), colours_.end(), colour);
    if (at != colours_.end() && *at == colour) continue;
    colours_.insert(at, colour);
    full_ = colours_.size() > most_;
  }
  pixels_ += width_px_;
}

void ColourCounter::join(const ColourCounter& other) {
  std::vector<std::uint32_t> both;
  std::set_union(colours_.begin(), colours_.end(), other.colours_.begin(), other.colours_.end(),
                 std::back_inserter(both));
  colours_ = std::move(both);
  full_ = full_ || other.full_ || colours_.size() > most_;
  pixels_ += other.pixels_;
  changes_ += other.changes_;
}

bool ColourCounter::few() const {
  return !full_ && changes_ > kEnough && changes_ > kNoisy * pixels_;
}

}  // namespace scrapetrace::scan
