#include "page/skew.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace scrapetrace::page {

namespace {

struct Edge {
  float along;   // position along the edge's direction, from the middle, cells
  float across;  // position across it
  float weight;
};

constexpr int kFewestEdges = 100;

float step_between(const std::array<float, 3>& a, const std::array<float, 3>& b) {
  float largest = 0;
  for (std::size_t c = 0; c < 3; ++c) largest = std::max(largest, std::abs(a[c] - b[c]));
  return largest;
}

// Sum of squares of the projection of `edges` along a direction sheared by `slope`. Each edge is spread over
// three bins by the quadratic B-spline: narrower deposits are sharpest where edges fall on whole bins, and
// the cells' own grid, at no skew, would win over the print's.
double sharpness(const std::vector<Edge>& edges, double slope, std::vector<double>& bins) {
  std::fill(bins.begin(), bins.end(), 0.0);
  const double middle = static_cast<double>(bins.size()) / 2;
  for (const Edge& e : edges) {
    const double position = e.across + slope * e.along + middle;
    const double nearest = std::round(position);
    const auto i = static_cast<std::ptrdiff_t>(nearest);
    if (i < 1 || i + 1 >= static_cast<std::ptrdiff_t>(bins.size())) continue;
    const double t = position - nearest;
    bins[static_cast<std::size_t>(i) - 1] += e.weight * 0.5 * (0.5 - t) * (0.5 - t);
    bins[static_cast<std::size_t>(i)] += e.weight * (0.75 - t * t);
    bins[static_cast<std::size_t>(i) + 1] += e.weight * 0.5 * (0.5 + t) * (0.5 + t);
  }
  double sum = 0;
  for (double b : bins) sum += b * b;
  return sum;
}

}  // namespace

std::optional<Skew> estimate_skew(const CoarseMap& map, const SkewOptions& options) {
  std::vector<Edge> upright;  // edges that run along v
  std::vector<Edge> level;    // edges that run along u
  const auto cap = static_cast<float>(3 * options.edge_step);
  const int middle_i = map.width / 2;
  const int middle_j = map.height / 2;
  for (int j = 1; j + 1 < map.height; ++j) {
    for (int i = 1; i + 1 < map.width; ++i) {
      const auto u = static_cast<float>(i - middle_i);
      const auto v = static_cast<float>(j - middle_j);
      const float gu = step_between(map.at(i + 1, j), map.at(i - 1, j));
      const float gv = step_between(map.at(i, j + 1), map.at(i, j - 1));
      if (gu > static_cast<float>(options.edge_step) && gu > 2 * gv)
        upright.push_back({v, u, std::min(gu, cap)});
      if (gv > static_cast<float>(options.edge_step) && gv > 2 * gu)
        level.push_back({u, v, std::min(gv, cap)});
    }
  }
  const auto count = static_cast<int>(upright.size() + level.size());
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
