#include "page/skew.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numbers>
#include <utility>
#include <vector>

#include "base/parallel.h"
#include "base/wide.h"

namespace scrapetrace::page {

namespace {

struct EdgeCell {
  int across;  // across the edge's direction, from the middle, cells
  float weight;
};
// Indexed along the edge's direction, from the middle of the map.
using Lines = std::vector<std::vector<EdgeCell>>;

struct Edges {
  Lines upright;  // that run along v
  Lines level;    // that run along u
  int count = 0;
};

constexpr int kFewestEdges = 100;

// The largest step of each pair of cells in any channel.
SCRAPETRACE_WIDE void steps_between(const std::array<float, 3>* a, const std::array<float, 3>* b,
                                    std::size_t count, float* out) {
  for (std::size_t i = 0; i < count; ++i) {
    out[i] =
        std::max({std::abs(a[i][0] - b[i][0]), std::abs(a[i][1] - b[i][1]), std::abs(a[i][2] - b[i][2])});
  }
}

// Cells of some rows that lie on edges along u, in order.
using LevelCells = std::vector<std::pair<int, EdgeCell>>;  // each with its column

LevelCells find_edges_in_rows(const CoarseMap& map, int first, int last, const SkewOptions& options,
                              Lines& upright) {
  const auto least = static_cast<float>(options.edge_step);
  const auto cap = static_cast<float>(3 * options.edge_step);
  const int middle_i = map.width / 2;
  const int middle_j = map.height / 2;
  const auto inner = static_cast<std::size_t>(map.width) - 2;
  std::vector<float> along_u(inner);
  std::vector<float> along_v(inner);
  LevelCells level;
  for (int j = first; j < last; ++j) {
    steps_between(&map.at(2, j), &map.at(0, j), inner, along_u.data());
    steps_between(&map.at(1, j + 1), &map.at(1, j - 1), inner, along_v.data());
    for (std::size_t k = 0; k < inner; ++k) {
      const float gu = along_u[k];
      const float gv = along_v[k];
      if (gu <= least && gv <= least) continue;
      const int i = static_cast<int>(k) + 1;
      if (gu > least && gu > 2 * gv)
        upright[static_cast<std::size_t>(j)].push_back({i - middle_i, std::min(gu, cap)});
      if (gv > least && gv > 2 * gu) level.push_back({i, {j - middle_j, std::min(gv, cap)}});
    }
  }
  return level;
}

Edges find_edges(const CoarseMap& map, const SkewOptions& options) {
  constexpr std::size_t kRowsInPart = 40;
  Edges out{Lines(static_cast<std::size_t>(map.height)), Lines(static_cast<std::size_t>(map.width)), 0};
  if (map.width < 3 || map.height < 3) return out;
  const auto rows = static_cast<std::size_t>(map.height - 2);
  std::vector<LevelCells> level((rows + kRowsInPart - 1) / kRowsInPart);
  for_each_stretch(rows, kRowsInPart, options.threads, [&](std::size_t from, std::size_t to) {
    level[from / kRowsInPart] =
        find_edges_in_rows(map, 1 + static_cast<int>(from), 1 + static_cast<int>(to), options, out.upright);
  });
  for (const auto& line : out.upright) out.count += static_cast<int>(line.size());
  for (const LevelCells& cells : level) {
    for (const auto& [column, cell] : cells) out.level[static_cast<std::size_t>(column)].push_back(cell);
    out.count += static_cast<int>(cells.size());
  }
  return out;
}

// Sum of squares of the projection of `lines` sheared by `slope`. Each edge is spread over three bins by the
// quadratic B-spline: narrower deposits favour edges on whole bins, so the cell grid at zero skew would win.
// All edges of a line share the position between bins.
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
      for (std::size_t k = 0; k < 3; ++k) bin[k] += static_cast<double>(e.weight) * spread[k];
    }
  }
  double sum = 0;
  for (double b : bins) sum += b * b;
  return sum;
}

// Sharpness of the whole print per candidate direction, cached.
class Sharpness {
 public:
  Sharpness(const Edges& edges, const SkewOptions& options)
      : edges_(edges), step_deg_(options.step_deg), threads_(options.threads) {}

  // Call it for a direction before asking for it.
  void look_at(std::vector<int> directions) {
    std::erase_if(directions, [&](int k) { return known_.count(k) > 0; });
    const auto found = measure(directions, 1);
    for (std::size_t n = 0; n < directions.size(); ++n) known_.emplace(directions[n], found[n]);
  }
  [[nodiscard]] double of(int k) const { return known_.at(k); }
  // From every third line: enough to choose candidates.
  [[nodiscard]] std::vector<double> roughly(const std::vector<int>& directions) const {
    return measure(directions, 3);
  }

 private:
  [[nodiscard]] std::vector<double> measure(const std::vector<int>& directions, std::size_t every) const {
    constexpr std::size_t kInPart = 4;
    std::vector<double> out(directions.size());
    for_each_stretch(out.size(), kInPart, threads_, [&](std::size_t from, std::size_t to) {
      std::vector<double> bins(2 * (edges_.upright.size() + edges_.level.size()));
      for (std::size_t n = from; n < to; ++n) {
        const double slope = std::tan(directions[n] * step_deg_ * std::numbers::pi / 180);
        // Clockwise by t: a line along v leans to u = -tan(t) v, one along u to v = tan(t) u.
        out[n] = sharpness(edges_.upright, slope, every, bins) + sharpness(edges_.level, -slope, every, bins);
      }
    });
    return out;
  }

  const Edges& edges_;
  double step_deg_;
  int threads_;
  std::map<int, double> known_;
};

// The sharpest direction of -steps .. steps. Peaks are wider than two steps, so every other direction shows
// them all.
int sharpest(Sharpness& sharpness, int steps) {
  constexpr int kStride = 2;
  constexpr std::size_t kPeaks = 3;
  std::vector<int> directions;
  for (int k = -steps; k <= steps; k += kStride) directions.push_back(k);
  const auto roughly = sharpness.roughly(directions);
  std::vector<std::pair<double, int>> rough;
  for (std::size_t n = 0; n < directions.size(); ++n) rough.emplace_back(-roughly[n], directions[n]);
  std::sort(rough.begin(), rough.end());
  std::vector<int> near;
  for (std::size_t peak = 0; peak < std::min(kPeaks, rough.size()); ++peak) {
    const int middle = rough[peak].second;
    for (int k = std::max(-steps, middle - kStride + 1); k < std::min(steps + 1, middle + kStride); ++k)
      near.push_back(k);
  }
  sharpness.look_at(near);
  int best = rough.front().second;
  for (const int k : near) {
    if (sharpness.of(k) > sharpness.of(best)) best = k;
  }
  return best;
}

}  // namespace

std::optional<Skew> estimate_skew(const CoarseMap& map, const SkewOptions& options) {
  const Edges edges = find_edges(map, options);
  if (edges.count < kFewestEdges) return std::nullopt;

  Sharpness sharpness(edges, options);
  const int steps = static_cast<int>(std::lround(options.largest_deg / options.step_deg));
  const int best = sharpest(sharpness, steps);
  double offset = 0;
  if (best > -steps && best < steps) {
    sharpness.look_at({best - 1, best + 1});
    const double before = sharpness.of(best - 1);
    const double after = sharpness.of(best + 1);
    const double bend = before - 2 * sharpness.of(best) + after;
    if (bend < 0) offset = 0.5 * (before - after) / bend;
  }
  return Skew{(best + offset) * options.step_deg, edges.count};
}

}  // namespace scrapetrace::page
