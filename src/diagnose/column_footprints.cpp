#include "diagnose/column_footprints.h"

#include <algorithm>
#include <cmath>

#include "base/parallel.h"
#include "geometry/frames.h"

namespace scrapetrace::diagnose {

ScanLie::Knot ScanLie::knot(double x_drum_mm) const {
  const double at =
      std::clamp((x_drum_mm - first_mm) / step_mm, 0.0, static_cast<double>(shift_mm.size() - 1));
  const auto left = std::min(static_cast<std::size_t>(at), shift_mm.size() - 2);
  return {left, at - static_cast<double>(left)};
}

double ScanLie::shift_at(double x_drum_mm) const {
  if (shift_mm.empty()) return 0;
  const Knot k = knot(x_drum_mm);
  return shift_mm[k.left] * (1 - k.right_part) + shift_mm[k.left + 1] * k.right_part;
}

ScanLie registered(const PreparedScan& scan) {
  const profile::Grid& grid = scan.strips.grid;
  ScanLie lie;
  lie.first_mm = grid.at(0.0);
  const double length_mm = grid.size * grid.pitch_mm;
  lie.shift_mm.assign(
      std::max<std::size_t>(2, static_cast<std::size_t>(std::ceil(length_mm / lie.step_mm)) + 1), 0.0);
  lie.blur_mm = scan.blur_px * grid.pitch_mm;
  lie.phases = profile::phases_of(scan.strips);
  return lie;
}

ColumnFootprints::ColumnFootprints(const Layout& layout, const geometry::ColumnMap& columns,
                                   const profile::Grid& grid, ScanLie lie, int threads)
    : grid_(grid),
      lie_(std::move(lie)),
      spread_(lie_.blur_mm, grid.pitch_mm, lie_.phases),
      half_mm_(0.5 * layout.px_mm()) {
  constexpr double kReach_blurs = 4;
  samples_.assign(static_cast<std::size_t>(columns.columns()), {grid.size, 0});
  middle_mm_.assign(static_cast<std::size_t>(columns.columns()), 0.0);
  const double reach_mm = kReach_blurs * lie_.blur_mm + half_mm_;
  for (int c = columns.printed().first; c <= columns.printed().last; ++c) {
    const geometry::Owner owner = columns.owner(c);
    if (owner.nobody()) continue;
    const double middle_mm =
        geometry::drum_x_of_column(layout, c, layout.heads[static_cast<std::size_t>(owner.head)].carriage);
    middle_mm_[static_cast<std::size_t>(c)] = middle_mm;
    const double registered_mm = middle_mm - lie_.shift_at(middle_mm);
    const int from = std::max(0, static_cast<int>(std::ceil(grid.index(registered_mm - reach_mm))));
    const int to =
        std::min(grid.size - 1, static_cast<int>(std::floor(grid.index(registered_mm + reach_mm))));
    samples_[static_cast<std::size_t>(c)] = {from, to + 1};
  }
  fill_in(columns, threads);
  for (const auto& ends : geometry::stand_offs(layout, columns)) share_out_beside(ends);
}

// Stretches of samples side by side; each looks through all columns for those that it sees.
void ColumnFootprints::fill_in(const geometry::ColumnMap& columns, int threads) {
  constexpr std::size_t kSamplesInStretch = 1024;
  std::vector<std::size_t> count(static_cast<std::size_t>(grid_.size), 0);
  for (const auto& [from, to] : samples_) {
    for (int i = from; i < to; ++i) ++count[static_cast<std::size_t>(i)];
  }
  seen_ = Ragged<SeenColumn>(count);
  std::fill(count.begin(), count.end(), 0);
  for_each_stretch(count.size(), kSamplesInStretch, threads, [&](std::size_t first, std::size_t end) {
    for (int c = columns.printed().first; c <= columns.printed().last; ++c) {
      const auto& own = samples_[static_cast<std::size_t>(c)];
      const int from = std::max(own.first, static_cast<int>(first));
      const int to = std::min(own.second, static_cast<int>(end));
      if (from >= to) continue;
      const double middle_mm = middle_mm_[static_cast<std::size_t>(c)];
      const double lies_mm = middle_mm - lie_.shift_at(middle_mm);
      for (int i = from; i < to; ++i) {
        const double d = lies_mm - grid_.at(i);
        const double weight = spread_.left_of(d + half_mm_) - spread_.left_of(d - half_mm_);
        const auto k = static_cast<std::size_t>(i);
        seen_[k][count[k]++] = {c, weight};
      }
    }
  });
}

void ColumnFootprints::share_out_beside(const geometry::SeamEnds& ends) {
  constexpr double kLeastLaid = 0.1;  // samples that see less of the print are blind
  const auto [low, high] = std::minmax(ends.left_mm, ends.right_mm);
  const double shift_mm = lie_.shift_at(low);
  const int from = std::max(0, static_cast<int>(grid_.index(low - shift_mm - spread_.reach_mm())));
  const int to =
      std::min(grid_.size - 1, static_cast<int>(grid_.index(high - shift_mm + spread_.reach_mm())));
  for (int i = from; i <= to; ++i) {
    const std::span<SeenColumn> columns = seen_[static_cast<std::size_t>(i)];
    double laid = 0;
    for (const SeenColumn& seen : columns) laid += seen.weight;
    for (SeenColumn& seen : columns) seen.weight /= std::max(laid, kLeastLaid);
  }
}

std::pair<int, int> ColumnFootprints::samples_of(int first_column, int last_column) const {
  std::pair<int, int> out{grid_.size, 0};
  for (int c = first_column; c <= last_column; ++c) {
    const auto& own = samples_[static_cast<std::size_t>(c)];
    out = {std::min(out.first, own.first), std::max(out.second, own.second)};
  }
  return out;
}

double ColumnFootprints::to_column_mm(int sample, int column) const {
  const double middle_mm = middle_mm_[static_cast<std::size_t>(column)];
  return middle_mm - lie_.shift_at(middle_mm) - grid_.at(sample);
}

SeenSlopes ColumnFootprints::slopes_at(int sample, int column) const {
  const double d = to_column_mm(sample, column);
  return {spread_.density(d - half_mm_) - spread_.density(d + half_mm_),
          spread_.slope_by_blur(d + half_mm_) - spread_.slope_by_blur(d - half_mm_)};
}

}  // namespace scrapetrace::diagnose
