#include "page/chart_agreement.h"

#include <array>
#include <cmath>

#include "base/floor_of.h"

namespace scrapetrace::page {

namespace {

constexpr double kStep_mm = 2.0;
constexpr double kHidden = 0.5;
constexpr int kSparse = 5;  // rows

// Weighted sums for a correlation.
struct Moments {
  double n = 0, seen = 0, expected = 0, seen2 = 0, expected2 = 0, both = 0;
  [[nodiscard]] double correlation() const {
    const double vs = seen2 - seen * seen / n;
    const double ve = expected2 - expected * expected / n;
    return n > 0 && vs > 0 && ve > 0 ? (both - seen * expected / n) / std::sqrt(vs * ve) : 0;
  }
};

}  // namespace

ChartAgreement::ChartAgreement(const CoarseMap& map, const Layout& layout, const Chart& chart, bool grey)
    : map_(map) {
  for (const Patch& patch : chart.patches) expected_.push_back(patch_linear(layout, patch, grey));
  const std::size_t bare = expected_.size();
  expected_.push_back({1, 1, 1});
  const ChartImage image(chart);
  int row = 0;
  for (double y = kStep_mm / 2; y < chart.sheet_mm[1]; y += kStep_mm) {
    const std::size_t known = runs_.size();
    bool fresh = true;
    for (double x = kStep_mm / 2; x < chart.sheet_mm[0]; x += kStep_mm) {
      const int patch = image.patch_at(x, y);
      const std::size_t kind = patch >= 0 ? static_cast<std::size_t>(patch) : bare;
      if (fresh || runs_.back().kind != kind) runs_.push_back({x, y, 0, kind});
      ++runs_.back().points;
      fresh = false;
    }
    if (row++ % kSparse == kSparse / 2)
      sparse_.insert(sparse_.end(), runs_.begin() + static_cast<std::ptrdiff_t>(known), runs_.end());
  }
}

void ChartAgreement::add(const Run& run, const RasterFromSheet& place, Seen& seen) const {
  const double step_u = kStep_mm * place.ux / map_.px_per_cell_u;
  const double step_v = kStep_mm * place.vx / map_.px_per_cell_v;
  const double u = place.u(run.x_mm, run.y_mm) / map_.px_per_cell_u;
  const double v = place.v(run.x_mm, run.y_mm) / map_.px_per_cell_v;
  Rgb sum{};
  Rgb squares{};
  const auto add_cell = [&](const std::array<float, 3>& cell) {
    for (std::size_t c = 0; c < 3; ++c) {
      const auto s = static_cast<double>(cell[c]);
      sum[c] += s;
      squares[c] += s * s;
    }
  };
  const auto on_map = [&](int i, int j) { return i >= 0 && j >= 0 && i < map_.width && j < map_.height; };
  const int j_first = floor_of(v);
  const int j_last = floor_of(v + (run.points - 1) * step_v);
  int visible = 0;
  if (j_first == j_last && on_map(floor_of(u), j_first) &&
      on_map(floor_of(u + (run.points - 1) * step_u), j_last)) {
    // Most runs lie on one row of the map from end to end.
    const auto* row = &map_.at(0, j_first);
    for (int k = 0; k < run.points; ++k) add_cell(row[static_cast<int>(u + k * step_u)]);
    visible = run.points;
  } else {
    for (int k = 0; k < run.points; ++k) {
      const int i = floor_of(u + k * step_u);
      const int j = floor_of(v + k * step_v);
      if (!on_map(i, j)) continue;
      add_cell(map_.at(i, j));
      ++visible;
    }
  }
  for (std::size_t c = 0; c < 3; ++c) seen.sum[c] += sum[c], seen.squares[c] += squares[c];
  seen.points += visible;
  seen.hidden += run.points - visible;
}

double ChartAgreement::agreement(const std::vector<Run>& runs, const RasterFromSheet& place) const {
  std::vector<Seen> seen(expected_.size());
  for (const Run& run : runs) add(run, place, seen[run.kind]);
  Moments all;
  const Seen& bare = seen.back();
  for (std::size_t kind = 0; kind < seen.size(); ++kind) {
    const double hidden = kind + 1 == seen.size() ? 0 : kHidden * seen[kind].hidden;
    for (std::size_t c = 0; c < 3; ++c) {
      const double paper = bare.points > 0 ? bare.sum[c] / bare.points : 1.0;
      const double expected = expected_[kind][c];
      const double n = seen[kind].points + hidden;
      const double sum = seen[kind].sum[c] + hidden * paper;
      all.n += n;
      all.seen += sum;
      all.seen2 += seen[kind].squares[c] + hidden * paper * paper;
      all.expected += n * expected;
      all.expected2 += n * expected * expected;
      all.both += sum * expected;
    }
  }
  return all.correlation();
}

}  // namespace scrapetrace::page
