#include "page/skew.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
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
double sharpness(const Lines& lines, double slope, std::vector<double>& bins) {
  std::fill(bins.begin(), bins.end(), 0.0);
  const int last = static_cast<int>(bins.size()) - 1;
  const int middle = static_cast<int>(bins.size()) / 2;
  const int middle_line = static_cast<int>(lines.size()) / 2;
  for (std::size_t line = 0; line < lines.size(); ++line) {
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

  std::vector<double> bins(static_cast<std::size_t>(2 * (map.width + map.height)));
  const int steps = static_cast<int>(std::lround(options.largest_deg / options.step_deg));
  std::vector<double> score;
  for (int k = -steps; k <= steps; ++k) {
    const double slope = std::tan(k * options.step_deg * std::numbers::pi / 180);
    // Clockwise by t: a line along v leans to u = -tan(t) v, one along u to v = tan(t) u.
    score.push_back(sharpness(upright, slope, bins) + sharpness(level, -slope, bins));
  }
  const auto best = static_cast<std::size_t>(std::max_element(score.begin(), score.end()) - score.begin());
  double offset = 0;
  if (best > 0 && best + 1 < score.size()) {
    const double bend = score[best - 1] - 2 * score[best] + score[best + 1];
    if (bend < 0) offset = 0.5 * (score[best - 1] - score[best + 1]) / bend;
  }
  return Skew{(static_cast<double>(best) - steps + offset) * options.step_deg, count};
}

}  // namespace scrapetrace::page
