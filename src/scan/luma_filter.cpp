#include "scan/luma_filter.h"

#include <algorithm>
#include <utility>

#include "base/wide.h"

namespace scrapetrace::scan {

namespace {

constexpr std::array<int, 3> kLuminance{77, 150, 29};  // in 256ths

// Plain loops over whole rows, which compilers vectorise.
SCRAPETRACE_WIDE void take_luminance(const std::uint8_t* row, int* out, std::size_t count) {
  for (std::size_t x = 0; x < count; ++x)
    out[x] = kLuminance[0] * row[3 * x] + kLuminance[1] * row[3 * x + 1] + kLuminance[2] * row[3 * x + 2];
}

// How far each luminance must move, in whole code values: the binomial of a..e minus c, rounded.
SCRAPETRACE_WIDE void take_moves(const int* a, const int* b, const int* c, const int* d, const int* e,
                                 int* out, std::size_t count) {
  constexpr int kShift = 12;  // sixteenths of kScale
  constexpr int kHalf = 1 << (kShift - 1);
  for (std::size_t x = 0; x < count; ++x)
    out[x] = (a[x] + e[x] + 4 * (b[x] + d[x]) - 10 * c[x] + kHalf) >> kShift;
}

SCRAPETRACE_WIDE void apply_moves(const std::uint8_t* row, const int* moves, std::uint8_t* out,
                                  std::size_t count) {
  for (std::size_t x = 0; x < count; ++x) {
    for (std::size_t c = 0; c < 3; ++c)
      out[3 * x + c] = static_cast<std::uint8_t>(std::clamp(row[3 * x + c] + moves[x], 0, 255));
  }
}

}  // namespace

LumaFilter::LumaFilter(int width_px, Axis axis, Next next)
    : width_px_(width_px),
      axis_(axis),
      next_(std::move(next)),
      luma_(static_cast<std::size_t>(width_px) + 4),
      moves_(static_cast<std::size_t>(width_px)),
      evened_(3 * static_cast<std::size_t>(width_px)) {}

void LumaFilter::add(const Rows& rows) {
  for (int r = 0; r < rows.count; ++r) {
    const auto* row = rows.row<std::uint8_t>(r);
    if (axis_ == Axis::along_rows) {
      filter_along(row);
    } else {
      keep(row);
      if (seen_ > 2) hand_on(seen_ - 3);
    }
  }
}

void LumaFilter::finish() {
  if (axis_ == Axis::along_rows) return;
  for (std::size_t k = seen_ > 2 ? seen_ - 2 : 0; k < seen_; ++k) hand_on(k);
}

void LumaFilter::filter_along(const std::uint8_t* row) {
  const auto count = static_cast<std::size_t>(width_px_);
  int* luma = luma_.data() + 2;  // two more at each side, which repeat the border
  take_luminance(row, luma, count);
  luma[-2] = luma[-1] = luma[0];
  luma[count] = luma[count + 1] = luma[count - 1];
  take_moves(luma - 2, luma - 1, luma, luma + 1, luma + 2, moves_.data(), count);
  apply_moves(row, moves_.data(), evened_.data(), count);
  next_({evened_.data(), static_cast<std::ptrdiff_t>(evened_.size()), 1});
}

void LumaFilter::keep(const std::uint8_t* row) {
  const std::size_t slot = seen_ % rows_.size();
  rows_[slot].assign(row, row + 3 * static_cast<std::size_t>(width_px_));
  lumas_[slot].resize(static_cast<std::size_t>(width_px_));
  take_luminance(row, lumas_[slot].data(), lumas_[slot].size());
  ++seen_;
}

// Emits row k. The two rows after it have been seen, or do not exist.
void LumaFilter::hand_on(std::size_t k) {
  const auto luma = [&](std::ptrdiff_t offset) {
    const auto wanted = static_cast<std::ptrdiff_t>(k) + offset;
    const auto row = std::clamp<std::ptrdiff_t>(wanted, 0, static_cast<std::ptrdiff_t>(seen_) - 1);
    return lumas_[static_cast<std::size_t>(row) % lumas_.size()].data();
  };
  take_moves(luma(-2), luma(-1), luma(0), luma(1), luma(2), moves_.data(), moves_.size());
  apply_moves(rows_[k % rows_.size()].data(), moves_.data(), evened_.data(), moves_.size());
  next_({evened_.data(), static_cast<std::ptrdiff_t>(evened_.size()), 1});
}

std::optional<LumaFilter::Axis> luma_filter_axis(const JpegHeader& header, bool transposed) {
  if (!header.thinned[transposed ? 1 : 0]) return std::nullopt;
  return transposed ? LumaFilter::Axis::along_columns : LumaFilter::Axis::along_rows;
}

}  // namespace scrapetrace::scan
