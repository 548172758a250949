#include "page/skew.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numbers>
#include <utility>
#include <vector>

namespace scrapetrace::page {

namespace {

struct EdgeCell {
  int across;  // position across the edge's direction, from the middle, cells
  double weight;
};
// By position along the edge's direction, from the middle of the map.
using Lines = std::vector<std::vector<EdgeCell>>;

constexpr int kFewestEdges = 100;

float step_between(const std::array<float, 3>& a, const std::array<float, 3>& b) {
  float largest = 0;
  for (std::size_t c = 0; c < 3; ++c) largest = std::max(largest, std::abs(a[c] - b[c]));
  return largest;
}

// Sum of squares of the projection of `lines` along a direction sheared by `slope`. Each edge is spread over
// three bins by the quadratic B-spline: narrower deposits are sharpest where edges fall on whole bins, and
// the cells' own grid, at no skew, would win over the print's. All edges of a line share their place between
// bins.
double sharpness(const Lines& lines, double slope, std::size_t every, std::vector<double>& bins) {
  std::fill(bins.begin(), bins.end(), 0.0);
  const int last = static_cast<int>(bins.size()) - 1;
  const int middle = static_cast<int>(bins.size()) / 2;
  const int middle_line = static_cast<int>(lines.size()) / 2;
  for (std::size_t line = every / 2; line < lines.size(); line += every) {
    const double shift = slope * (static_cast<int>(line) - middle_line) + middle;
    const int nearest = static_cast<int>(std::lround(shift));
    const double t = shift - nearest;
    const std::array<double, 3> spread{0.5 * (0.5 - t) * (0.5 - t), 0.75 - t * t,
                                       0.5 * (0.5 + t) * (0.5 + t)};
    for (const EdgeCell& e : lines[line]) {
      const int i = e.across + nearest;
      if (i < 1 || i >= last) continue;
      double* bin = bins.data() + i - 1;
      for (std::size_t k = 0; k < 3; ++k) bin[k] += e.weight * spread[k];
    }
  }
  double sum = 0;
  for (double b : bins) sum += b * b;
  return sum;
}

// The sharpness of the whole print at candidate directions, each worked out once.
class Sharpness {
 public:
  Sharpness(const Lines& upright, const Lines& level, double step_deg)
      : upright_(upright), level_(level), step_deg_(step_deg), bins_(2 * (upright.size() + level.size())) {}

  [[nodiscard]] double of(int k) {
    const auto known = known_.find(k);
    return known != known_.end() ? known->second : known_.emplace(k, measure(k, 1)).first->second;
  }
  // From every third line: enough to see which directions come into question.
  [[nodiscard]] double roughly(int k) { return measure(k, 3); }

 private:
  double measure(int k, std::size_t every) {
    const double slope = std::tan(k * step_deg_ * std::numbers::pi / 180);
    // Clockwise by t: a line along v leans to u = -tan(t) v, one along u to v = tan(t) u.
    return sharpness(upright_, slope, every, bins_) + sharpness(level_, -slope, every, bins_);
  }

  const Lines& upright_;
  const Lines& level_;
  double step_deg_;
  std::vector<double> bins_;
  std::map<int, double> known_;
};

// The sharpest of the directions -steps .. steps. Peaks are wider than two steps: half the directions show
// all of them.
int sharpest(Sharpness& sharpness, int steps) {
  constexpr int kStride = 2;
  constexpr std::size_t kPeaks = 3;
  std::vector<std::pair<double, int>> rough;
  for (int k = -steps; k <= steps; k += kStride) rough.emplace_back(-sharpness.roughly(k), k);
  std::sort(rough.begin(), rough.end());
  int best = rough.front().second;
  for (std::size_t peak = 0; peak < std::min(kPeaks, rough.size()); ++peak) {
    const int middle = rough[peak].second;
    for (int k = std::max(-steps, middle - kStride + 1); k < std::min(steps + 1, middle + kStride); ++k) {
      if (sharpness.of(k) > sharpness.of(best)) best = k;
    }
  }
  return best;
}

}  // namespace

std::optional<Skew> estimate_skew(const CoarseMap& map, const SkewOptions& options) {
  Lines upright(static_cast<std::size_t>(map.height));  // edges that run along v
  Lines level(static_cast<std::size_t>(map.width));     // edges that run along u
  const auto least = static_cast<float>(options.edge_step);
  const auto cap = static_cast<float>(3 * options.edge_step);
  const int middle_i = map.width / 2;
  const int middle_j = map.height / 2;
  int count = 0;
  for (int j = 1; j + 1 < map.height; ++j) {
    for (int i = 1; i + 1 < map.width; ++i) {
      const float gu = step_between(map.at(i + 1, j), map.at(i - 1, j));
      const float gv = step_between(map.at(i, j + 1), map.at(i, j - 1));
      if (gu > least && gu > 2 * gv)
        upright[static_cast<std::size_t>(j)].push_back({i - middle_i, std::min(gu, cap)}), ++count;
      if (gv > least && gv > 2 * gu)
        level[static_cast<std::size_t>(i)].push_back({j - middle_j, std::min(gv, cap)}), ++count;
    }
  }
  if (count < kFewestEdges) return std::nullopt;

  Sharpness sharpness(upright, level, options.step_deg);
  const int steps = static_cast<int>(std::lround(options.largest_deg / options.step_deg));
  const int best = sharpest(sharpness, steps);
  double offset = 0;
  if (best > -steps && best < steps) {
    const double before = sharpness.of(best - 1);
    const double after = sharpness.of(best + 1);
    const double bend = before - 2 * sharpness.of(best) + after;
    if (bend < 0) offset = 0.5 * (before - after) / bend;
  }
  return Skew{(best + offset) * options.step_deg, count};
}

}  // namespace scrapetrace::page
