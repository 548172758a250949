#include "page/find_outline.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace scrapetrace::page {

namespace {

using Colour = std::array<float, 3>;

constexpr float kBrighter = 1.2F;    // paper to table
constexpr float kInkBelow = 0.75F;   // of paper, in the channel of strongest ink
constexpr float kPaperLeast = 0.2F;  // linear
constexpr float kPaperHue = 1.6F;    // largest over least channel
constexpr float kWhiteTable = 0.45F;
constexpr float kFollow = 0.1F;  // smoothing of the paper level, which follows uneven light
constexpr double kSteepest = 0.7;
constexpr double kTolerance_cells = 1.5;
constexpr std::size_t kTried = 48;
constexpr std::size_t kFewest = 12;
constexpr double kLeastOfLines = 0.2;  // of a side's lines

float mean(const Colour& c) {
  return (c[0] + c[1] + c[2]) / 3;
}

bool paper_like(const Colour& c) {
  const auto [low, high] = std::minmax_element(c.begin(), c.end());
  return *low > kPaperLeast && *high < kPaperHue * *low;
}

float least_ratio(const Colour& c, const Colour& paper) {
  return std::min({c[0] / paper[0], c[1] / paper[1], c[2] / paper[2]});
}

// Where a line inward from a side met something. Raster pixels.
struct Meeting {
  double along = 0;
  double depth = 0;
};

struct Met {
  std::optional<double> paper;  // cells
  std::optional<double> ink;
};

// Where the running mean crosses half-way between its levels at k - 2 and k + 2.
double half_way(const std::vector<Colour>& line, std::size_t k) {
  const float before = mean(line[k - 2]);
  const float after = mean(line[k + 2]);
  const float middle = 0.5F * (before + after);
  for (std::size_t i = k - 2; i < k + 2; ++i) {
    const float a = mean(line[i]) - middle;
    const float b = mean(line[i + 1]) - middle;
    if ((a < 0) != (b < 0)) return static_cast<double>(i) + 0.5 + static_cast<double>(a / (a - b));
  }
  return static_cast<double>(k) + 0.5;
}

Met walk(const std::vector<Colour>& line) {
  Met out;
  std::optional<Colour> paper;
  if (*std::min_element(line[0].begin(), line[0].end()) > kWhiteTable) paper = line[0];
  for (std::size_t k = 2; k + 2 < line.size(); ++k) {
    const Colour& inside = line[k + 2];
    if (!out.paper && paper_like(inside) && mean(inside) > kBrighter * mean(line[k - 2]) &&
        mean(line[k + 1]) > kBrighter * mean(line[k - 2])) {
      out.paper = half_way(line, k);
      paper = inside;
      k += 2;
      continue;
    }
    if (!paper) continue;
    if (least_ratio(line[k], *paper) < kInkBelow && least_ratio(line[k + 1], *paper) < kInkBelow) {
      out.ink = half_way(line, k);
      break;
    }
    if (!paper_like(line[k])) continue;
    for (std::size_t c = 0; c < 3; ++c) (*paper)[c] += kFollow * (line[k][c] - (*paper)[c]);
  }
  return out;
}

// depth = at + slope along.
struct OutlineSide {
  double at = 0;
  double slope = 0;
  [[nodiscard]] double miss(const Meeting& m) const { return std::abs(m.depth - at - slope * m.along); }
};

OutlineSide least_squares(const std::vector<Meeting>& points, const OutlineSide& near, double tolerance) {
  double n = 0, x = 0, y = 0, xx = 0, xy = 0;
  for (const Meeting& m : points) {
    if (near.miss(m) > tolerance) continue;
    n += 1, x += m.along, y += m.depth, xx += m.along * m.along, xy += m.along * m.depth;
  }
  const double spread = n * xx - x * x;
  if (n < 2 || spread <= 0) return near;
  const double slope = (n * xy - x * y) / spread;
  return {(y - slope * x) / n, slope};
}

std::optional<OutlineSide> common_line(const std::vector<Meeting>& points, double lines, double tolerance) {
  std::vector<Meeting> tried;
  for (std::size_t k = 0; k < std::min(kTried, points.size()); ++k)
    tried.push_back(points[k * points.size() / std::min(kTried, points.size())]);
  OutlineSide best;
  std::size_t most = 0;
  for (std::size_t i = 0; i < tried.size(); ++i) {
    for (std::size_t j = i + 1; j < tried.size(); ++j) {
      const double slope = (tried[j].depth - tried[i].depth) / (tried[j].along - tried[i].along);
      if (!(std::abs(slope) < kSteepest)) continue;
      const OutlineSide line{tried[i].depth - slope * tried[i].along, slope};
      const auto agree = static_cast<std::size_t>(std::count_if(
          points.begin(), points.end(), [&](const Meeting& m) { return line.miss(m) < tolerance; }));
      if (agree > most) most = agree, best = line;
    }
  }
  if (most < kFewest || static_cast<double>(most) < kLeastOfLines * lines) return std::nullopt;
  best = least_squares(points, best, tolerance);
  return least_squares(points, best, tolerance);
}

// Direction of a side's lines: left and right run along u, top and bottom along v.
struct SideWalk {
  bool across = true;
  bool from_far = false;
};
constexpr std::array<SideWalk, 4> kSides = {SideWalk{true, false}, SideWalk{false, false},
                                            SideWalk{true, true}, SideWalk{false, true}};

struct SideMeetings {
  std::vector<Meeting> paper;
  std::vector<Meeting> ink;
  double lines = 0;
};

SideMeetings meetings(const CoarseMap& map, const SideWalk& side) {
  const int lines = side.across ? map.height : map.width;
  const int depth = side.across ? map.width : map.height;
  const double along_px = side.across ? map.px_per_cell_v : map.px_per_cell_u;
  const double depth_px = side.across ? map.px_per_cell_u : map.px_per_cell_v;
  SideMeetings out;
  out.lines = lines;
  std::vector<Colour> line(static_cast<std::size_t>(depth));
  for (int n = 0; n < lines; ++n) {
    for (int k = 0; k < depth; ++k) {
      const int inward = side.from_far ? depth - 1 - k : k;
      line[static_cast<std::size_t>(k)] = side.across ? map.at(inward, n) : map.at(n, inward);
    }
    const Met met = walk(line);
    const auto place = [&](double cells) {
      const double from_side = side.from_far ? depth - cells : cells;
      return Meeting{(n + 0.5) * along_px, from_side * depth_px};
    };
    if (met.paper) out.paper.push_back(place(*met.paper));
    if (met.ink) out.ink.push_back(place(*met.ink));
  }
  return out;
}

// u = l.at + l.slope v and v = t.at + t.slope u.
Eigen::Vector2d crossing(const OutlineSide& upright, const OutlineSide& level) {
  const double u = (upright.at + upright.slope * level.at) / (1 - upright.slope * level.slope);
  return {u, level.at + level.slope * u};
}

std::optional<Quadrangle> quadrangle(const std::array<std::optional<OutlineSide>, 4>& sides) {
  for (const auto& side : sides) {
    if (!side) return std::nullopt;
  }
  return Quadrangle{crossing(*sides[0], *sides[1]), crossing(*sides[2], *sides[1]),
                    crossing(*sides[2], *sides[3]), crossing(*sides[0], *sides[3])};
}

// The first crossing position that most lines share.
double commonest(std::vector<double> places) {
  if (places.empty()) return 0;
  std::sort(places.begin(), places.end());
  double best = places.front();
  std::size_t most = 0;
  for (std::size_t i = 0; i < places.size();) {
    std::size_t j = i;
    while (j < places.size() && places[j] - places[i] < 0.5) ++j;
    if (j - i > most) most = j - i, best = places[i];
    i = j;
  }
  return best;
}

std::array<double, 2> first_met(const Chart& chart, std::size_t axis) {
  std::vector<double> low;
  std::vector<double> high;
  for (double along = 0.5; along < chart.sheet_mm[1 - axis]; along += 1) {
    double from = 1e300;
    double to = -1e300;
    for (const Patch& patch : chart.patches) {
      const auto& other = axis == 0 ? patch.y_mm : patch.x_mm;
      const auto& own = axis == 0 ? patch.x_mm : patch.y_mm;
      if (patch.inks.empty() || along < other[0] || along > other[1]) continue;
      from = std::min(from, own[0]);
      to = std::max(to, own[1]);
    }
    if (from > to) continue;
    low.push_back(from);
    high.push_back(to);
  }
  return {commonest(low), commonest(high)};
}

}  // namespace

Outlines find_outlines(const CoarseMap& map) {
  std::array<std::optional<OutlineSide>, 4> paper;
  std::array<std::optional<OutlineSide>, 4> ink;
  if (map.width < 20 || map.height < 20) return {};
  for (std::size_t k = 0; k < 4; ++k) {
    const auto met = meetings(map, kSides[k]);
    const double tolerance = kTolerance_cells * (kSides[k].across ? map.px_per_cell_u : map.px_per_cell_v);
    paper[k] = common_line(met.paper, met.lines, tolerance);
    ink[k] = common_line(met.ink, met.lines, tolerance);
  }
  return {quadrangle(paper), quadrangle(ink)};
}

PrintRectangle print_rectangle(const Chart& chart) {
  return {first_met(chart, 0), first_met(chart, 1)};
}

}  // namespace scrapetrace::page
