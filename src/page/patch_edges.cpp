#include "page/patch_edges.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "base/parallel.h"

namespace scrapetrace::page {

namespace {

constexpr double kLeastContrast = 0.06;  // of full scale
constexpr double kEnd_mm = 1.5;          // excluded near a patch's corners
constexpr double kLevel_mm = 1.0;        // length over which a side's level is averaged
constexpr double kLeastReach_mm = 0.5;

// How far the same patch (or paper) extends from a point in a direction, up to `limit_mm`.
double run_length(const ChartImage& image, double x, double y, double dx, double dy, double limit_mm) {
  const int here = image.patch_at(x + 0.3 * dx, y + 0.3 * dy);
  double run = 0.3;
  while (run < limit_mm && image.patch_at(x + run * dx, y + run * dy) == here) run += 0.25;
  return run;
}

struct Window {
  double search = 0;  // mm to each side
  double level = 0;   // mm beyond it
};

std::optional<Window> window_at(const ChartImage& image, double x, double y, double dx, double dy,
                                double reach_mm) {
  const double limit = 2 * reach_mm + kLevel_mm;
  const double room =
      std::min(run_length(image, x, y, dx, dy, limit), run_length(image, x, y, -dx, -dy, limit));
  const double search = std::min(reach_mm, 0.5 * room);
  if (search < std::min(kLeastReach_mm, reach_mm)) return std::nullopt;
  return Window{search, std::min(kLevel_mm, room - search)};
}

// Samples across an edge: value k is centred at `first + k * pitch`.
struct Crossing {
  std::vector<double> samples;
  double first = 0;
  double pitch = 1;
};

struct Levels {
  double low = 0;   // at the start
  double high = 0;  // at the end
};

// Means of `level` samples at both ends; nothing when they hardly differ.
std::optional<Levels> levels_of(const Crossing& line, std::size_t level) {
  const std::size_t n = line.samples.size();
  if (n < 2 * level + 1 || level == 0) return std::nullopt;
  Levels out;
  for (std::size_t k = 0; k < level; ++k) {
    out.low += line.samples[k] / static_cast<double>(level);
    out.high += line.samples[n - 1 - k] / static_cast<double>(level);
  }
  if (std::abs(out.high - out.low) < kLeastContrast) return std::nullopt;
  return out;
}

// Crossing of the mid level by area, for coarse pitches: holds even when the step falls inside a sample.
double edge_by_area(const Crossing& line, const Levels& levels) {
  const double step = levels.high - levels.low;
  double area = 0;
  for (const double s : line.samples) area += std::clamp((levels.high - s) / step, -0.5, 1.5);
  return line.first + (area - 0.5) * line.pitch;
}

// The mid-level crossing nearest to that.
std::optional<double> edge_by_crossing(const Crossing& line, const Levels& levels) {
  const double about = edge_by_area(line, levels);
  const double middle = 0.5 * (levels.low + levels.high);
  std::optional<double> nearest;
  for (std::size_t k = 0; k + 1 < line.samples.size(); ++k) {
    const double a = line.samples[k] - middle;
    const double b = line.samples[k + 1] - middle;
    if ((a < 0) == (b < 0)) continue;
    const double at = line.first + (static_cast<double>(k) + a / (a - b)) * line.pitch;
    if (!nearest || std::abs(at - about) < std::abs(*nearest - about)) nearest = at;
  }
  return nearest;
}

// Constants of a measurement.
struct Measuring {
  const PageRaster& raster;
  const ChartImage& image;
  const RasterFromSheet& map;
  const EdgeSearch& search;
};

// One side of a patch.
struct PatchSide {
  const Patch& patch;
  int index;  // of the patch
  int side;
  int channel;
};

// An edge along the process direction, at `printed_mm`; the chart has it at `nominal_mm`.
void measure_x_edge(const Measuring& by, const PatchSide& of, double nominal_mm, double printed_mm,
                    std::vector<EdgePoint>& out) {
  const auto& [raster, image, map, search] = by;
  const double px_per_mm = std::abs(map.ux);
  const double margin = kEnd_mm + raster.rows_per_block / std::abs(map.vy);
  Crossing line;
  std::optional<Window> window;
  std::optional<int> row_of_window;  // row of the chart's image; rarely changes along a side
  for (int b = 0; b < raster.blocks(); ++b) {
    const double v = b * raster.rows_per_block + 0.5 * raster.rows_in(b);
    const double y = (v - map.v0 - map.vx * nominal_mm) / map.vy;
    if (y < of.patch.y_mm[0] + margin || y > of.patch.y_mm[1] - margin) continue;
    if (const int row = image.row_at(y); row != row_of_window)
      window = window_at(image, nominal_mm, y, 1, 0, search.reach_mm), row_of_window = row;
    if (!window) continue;
    const auto half = static_cast<int>(std::ceil((window->search + window->level) * px_per_mm));
    const auto centre = static_cast<int>(std::floor(map.u(printed_mm, y)));
    if (centre - half < 0 || centre + half >= raster.width_px) continue;
    const std::uint16_t* row = raster.row(b, of.channel);
    line.first = centre - half + 0.5;
    line.samples.resize(static_cast<std::size_t>(2 * half + 1));
    std::transform(row + centre - half, row + centre + half + 1, line.samples.begin(),
                   [](std::uint16_t light) { return light / 65535.0; });
    const auto level = static_cast<std::size_t>(std::max(1.0, window->level * px_per_mm));
    const auto levels = levels_of(line, level);
    if (!levels) continue;
    if (const auto at = edge_by_crossing(line, *levels))
      out.push_back({printed_mm, *at, v, of.index, of.side, of.channel});
  }
}

// An edge across the process direction.
void measure_y_edge(const Measuring& by, const PatchSide& of, double nominal_mm,
                    std::vector<EdgePoint>& out) {
  constexpr double kStep_mm = 3.0;
  const auto& [raster, image, map, search] = by;
  const double px_per_mm = std::abs(map.ux);
  const auto half_width = static_cast<int>(std::max(1.0, 0.4 * px_per_mm));
  const double block_mm = raster.rows_per_block / std::abs(map.vy);
  for (double x = of.patch.x_mm[0] + kEnd_mm; x < of.patch.x_mm[1] - kEnd_mm; x += kStep_mm) {
    const auto window = window_at(image, x, nominal_mm, 0, 1, std::max(search.reach_mm, 2 * block_mm));
    if (!window || window->level < block_mm) continue;
    const auto level = static_cast<std::size_t>(window->level / block_mm);
    const auto half = static_cast<int>(window->search / block_mm) + static_cast<int>(level);
    const auto centre = static_cast<int>(std::floor(map.v(x, nominal_mm) / raster.rows_per_block));
    const auto middle = static_cast<int>(std::floor(map.u(x, nominal_mm)));
    if (centre - half < 0 || centre + half >= raster.height_px / raster.rows_per_block) continue;
    if (middle - half_width < 0 || middle + half_width >= raster.width_px) continue;
    Crossing line{
        {}, (centre - half + 0.5) * raster.rows_per_block, static_cast<double>(raster.rows_per_block)};
    for (int b = centre - half; b <= centre + half; ++b) {
      double sum = 0;
      for (int u = middle - half_width; u <= middle + half_width; ++u) sum += raster.row(b, of.channel)[u];
      line.samples.push_back(sum / (65535.0 * (2 * half_width + 1)));
    }
    if (const auto levels = levels_of(line, level))
      out.push_back({nominal_mm, middle + 0.5, edge_by_area(line, *levels), of.index, of.side, of.channel});
  }
}

PatchEdges edges_of(const Measuring& by, const Chart& chart, const PrintedPatch& printed, std::size_t p) {
  PatchEdges out;
  const Patch& patch = chart.patches[p];
  for (const std::size_t side : {0U, 1U}) {
    const PatchSide of{patch, static_cast<int>(p), static_cast<int>(side), printed.channel};
    measure_x_edge(by, of, patch.x_mm[side], printed.x_mm[side], out.x);
    if (by.search.across) measure_y_edge(by, of, patch.y_mm[side], out.y);
  }
  return out;
}

}  // namespace

PatchEdges measure_patch_edges(const PageRaster& raster, const Layout& layout, const Chart& chart,
                               const RasterFromSheet& map, const EdgeSearch& search) {
  return measure_patch_edges(raster, chart, PrintedChart(layout, chart, raster.grey), map, search);
}

PatchEdges measure_patch_edges(const PageRaster& raster, const Chart& chart, const PrintedChart& printed,
                               const RasterFromSheet& map, const EdgeSearch& search) {
  std::vector<PatchEdges> of_patch(chart.patches.size());
  for_each_part(of_patch.size(), search.threads, [&](std::size_t p) {
    if (!printed.patches[p].empty())
      of_patch[p] = edges_of({raster, printed.image, map, search}, chart, printed.patches[p], p);
  });
  PatchEdges out;
  for (const PatchEdges& edges : of_patch) {
    out.x.insert(out.x.end(), edges.x.begin(), edges.x.end());
    out.y.insert(out.y.end(), edges.y.begin(), edges.y.end());
  }
  return out;
}

}  // namespace scrapetrace::page
