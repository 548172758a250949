#include <algorithm>
#include <cmath>
#include <optional>

#include "base/robust.h"
#include "page/rectangle_sides.h"

namespace scrapetrace::page {

namespace {

constexpr double kReach_mm = 1.5;      // largest error of the coarse position
constexpr double kSideEnd_mm = 1.5;    // excluded near corners, across
constexpr double kBlockEnd_mm = 0.75;  // and along; half a block of rows at most
constexpr double kSpan_mm = 0.4;       // length over which a level is averaged
constexpr double kStepAlong_mm = 1.0;
constexpr double kLeastSideStep = 0.04;   // linear; noise makes smaller steps, haze softer ones
constexpr double kLeastOfExpected = 0.5;  // of the step between the usual colours of both sides

// The channel of the largest step across a side, and that step inwards.
struct Step {
  int channel = 0;
  double inward = 0;
};

Step step_at(const UprightMap& map, const FoundRectangle& r, std::size_t axis, std::size_t end) {
  constexpr double kAway_mm = 1.4;
  const auto& across = axis == 0 ? r.x_mm : r.y_mm;
  const auto& along = axis == 0 ? r.y_mm : r.x_mm;
  const double out = end == 0 ? -kAway_mm : kAway_mm;
  std::array<std::array<std::vector<double>, 3>, 2> levels;  // [outside, inside]
  for (double t = along[0] + kSideEnd_mm; t < along[1] - kSideEnd_mm; t += map.cell_mm) {
    for (std::size_t inside = 0; inside < 2; ++inside) {
      const double s = across[end] + (inside == 1 ? -out : out);
      const int i = static_cast<int>(std::floor(map.column(axis == 0 ? s : t)));
      const int j = static_cast<int>(std::floor(map.row(axis == 0 ? t : s)));
      if (i < 0 || j < 0 || i >= map.width || j >= map.height || map.at(i, j)[0] < 0) continue;
      for (std::size_t c = 0; c < 3; ++c) levels[inside][c].push_back(static_cast<double>(map.at(i, j)[c]));
    }
  }
  Step best;
  for (std::size_t c = 0; c < 3; ++c) {
    if (levels[0][c].empty() || levels[1][c].empty()) continue;
    const double inward = median(levels[1][c]) - median(levels[0][c]);
    if (std::abs(inward) > std::abs(best.inward)) best = {static_cast<int>(c), inward};
  }
  return best;
}

// Position of the expected step in a row of pixels near `centre`; `rise` is its change along u.
std::optional<double> step_across(const std::uint16_t* row, int width, double centre, double px_per_mm,
                                  double rise) {
  const int span = std::max(2, static_cast<int>(std::lround(kSpan_mm * px_per_mm)));
  const int reach = static_cast<int>(std::lround(kReach_mm * px_per_mm));
  const int middle = static_cast<int>(std::lround(centre));
  const int from = middle - reach - span;
  const int to = middle + reach + span;
  if (from < 0 || to > width) return std::nullopt;
  double before = 0;
  double after = 0;
  for (int u = from; u < from + span; ++u) before += row[u], after += row[u + span];
  double best = 0;
  double level = 0;
  int at = from + span;
  for (int u = from + span; u + span <= to; ++u) {  // between pixels u - 1 and u
    const double step = (after - before) * (rise > 0 ? 1 : -1);
    if (step > best) best = step, at = u, level = 0.5 * (after + before) / span;
    before += row[u] - row[u - span];
    if (u + span < to) after += row[u + span] - row[u];
  }
  if (best / span / 65535 < kLeastOfExpected * std::abs(rise)) return std::nullopt;
  std::optional<double> nearest;
  for (int u = at - span; u + 1 < at + span; ++u) {
    const double a = row[u] - level;
    const double b = row[u + 1] - level;
    if ((a < 0) == (b < 0)) continue;
    const double crossing = u + 0.5 + a / (a - b);
    if (!nearest || std::abs(crossing - at) < std::abs(*nearest - at)) nearest = crossing;
  }
  return nearest;
}

// The same down a column of blocks, by area, since the step may fall inside a block.
std::optional<double> step_along(const std::vector<double>& blocks, double rise) {
  std::size_t at = 0;
  double best = 0;
  const double sign = rise > 0 ? 1 : -1;
  for (std::size_t b = 2; b + 2 < blocks.size(); ++b) {
    const double step = sign * (blocks[b + 1] - blocks[b - 1]);
    if (step > best) best = step, at = b;
  }
  if (at == 0) return std::nullopt;
  const double before = blocks[at - 2];
  const double after = blocks[at + 2];
  if (sign * (after - before) < kLeastOfExpected * std::abs(rise)) return std::nullopt;
  double area = 0;
  for (std::size_t b = at - 2; b <= at + 2; ++b)
    area += std::clamp((after - blocks[b]) / (after - before), -0.5, 1.5);
  return static_cast<double>(at) - 2 + area;
}

void add_point(const UprightMap& map, double u, double v, Side& side) {
  const auto [x, y] = map.raster_from_upright.sheet(u, v);
  side.points.push_back({x, y, u, v});
}

void measure_x_side(const PageRaster& raster, const UprightMap& map, const std::array<double, 2>& y_mm,
                    Step step, Side& side) {
  const RasterFromSheet& frame = map.raster_from_upright;
  const double px_per_mm = std::hypot(frame.ux, frame.vx);
  const double rise = side.end == 0 ? step.inward : -step.inward;
  for (int b = 0; b < raster.blocks(); ++b) {
    const double v = b * raster.rows_per_block + 0.5 * raster.rows_in(b);
    const double y = (v - frame.v0 - frame.vx * side.at_mm) / frame.vy;
    if (y < y_mm[0] + kBlockEnd_mm || y > y_mm[1] - kBlockEnd_mm) continue;
    side.lines += 1;
    const auto u =
        step_across(raster.row(b, step.channel), raster.width_px, frame.u(side.at_mm, y), px_per_mm, rise);
    if (u) add_point(map, *u, v, side);
  }
}

void measure_y_side(const PageRaster& raster, const UprightMap& map, const std::array<double, 2>& x_mm,
                    Step step, Side& side) {
  const RasterFromSheet& frame = map.raster_from_upright;
  const double px_per_mm = std::hypot(frame.ux, frame.vx);
  const int half_width = std::max(1, static_cast<int>(0.5 * kStepAlong_mm * px_per_mm));
  const int whole_blocks = raster.height_px / raster.rows_per_block;
  const int reach = 3 + static_cast<int>(std::ceil(kReach_mm * std::abs(frame.vy) / raster.rows_per_block));
  const double rise = side.end == 0 ? step.inward : -step.inward;
  for (double x = x_mm[0] + kSideEnd_mm; x < x_mm[1] - kSideEnd_mm; x += kStepAlong_mm) {
    const int u = static_cast<int>(std::floor(frame.u(x, side.at_mm)));
    const int first = static_cast<int>(std::floor(frame.v(x, side.at_mm) / raster.rows_per_block)) - reach;
    if (u - half_width < 0 || u + half_width >= raster.width_px) continue;
    if (first < 0 || first + 2 * reach >= whole_blocks) continue;
    side.lines += 1;
    std::vector<double> blocks;
    for (int b = first; b <= first + 2 * reach; ++b) {
      double sum = 0;
      for (int k = u - half_width; k <= u + half_width; ++k) sum += raster.row(b, step.channel)[k];
      blocks.push_back(sum / (65535.0 * (2 * half_width + 1)));
    }
    if (const auto at = step_along(blocks, rise))
      add_point(map, u + 0.5, (first + *at) * raster.rows_per_block, side);
  }
}

}  // namespace

std::vector<Side> measure_sides(const PageRaster& raster, const UprightMap& map,
                                const std::vector<FoundRectangle>& rectangles) {
  std::vector<Side> sides;
  for (std::size_t k = 0; k < rectangles.size(); ++k) {
    const FoundRectangle& r = rectangles[k];
    for (std::size_t axis = 0; axis < 2; ++axis) {
      for (std::size_t end = 0; end < 2; ++end) {
        Side side{k, axis, end, (axis == 0 ? r.x_mm : r.y_mm)[end], 0, {}};
        const Step step = step_at(map, r, axis, end);
        if (std::abs(step.inward) >= kLeastSideStep) {
          if (axis == 0) {
            measure_x_side(raster, map, r.y_mm, step, side);
          } else {
            measure_y_side(raster, map, r.x_mm, step, side);
          }
        }
        sides.push_back(std::move(side));
      }
    }
  }
  return sides;
}

}  // namespace scrapetrace::page
