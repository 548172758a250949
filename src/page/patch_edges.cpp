#include "page/patch_edges.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "geometry/column_map.h"
#include "geometry/frames.h"

namespace scrapetrace::page {

namespace {

constexpr double kLeastContrast = 0.06;  // of full scale
constexpr double kEnd_mm = 1.5;          // kept away from a patch's corners
constexpr double kLevel_mm = 1.0;        // length over which a side's level is taken
constexpr double kLeastReach_mm = 0.5;

// How far the same patch (or paper) goes on from a point of the sheet in a direction, up to `limit_mm`.
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

// Samples along a line crossing an edge: value k is centred at `first + k * pitch`.
struct Crossing {
  std::vector<double> samples;
  double first = 0;
  double pitch = 1;
};

// Place where the samples cross the middle between the levels of the two ends (each `level` samples long),
// by the area between them for coarse pitches, which also holds when the step falls inside one sample.
std::optional<double> edge_by_area(const Crossing& line, std::size_t level) {
  const std::size_t n = line.samples.size();
  if (n < 2 * level + 1 || level == 0) return std::nullopt;
  double low = 0;
  double high = 0;
  for (std::size_t k = 0; k < level; ++k) {
    low += line.samples[k] / static_cast<double>(level);
    high += line.samples[n - 1 - k] / static_cast<double>(level);
  }
  if (std::abs(high - low) < kLeastContrast) return std::nullopt;
  double area = 0;
  for (double s : line.samples) area += std::clamp((high - s) / (high - low), -0.5, 1.5);
  return line.first + (area - 0.5) * line.pitch;
}

std::optional<double> edge_by_crossing(const Crossing& line, std::size_t level) {
  const auto about = edge_by_area(line, level);
  if (!about) return std::nullopt;
  const std::size_t n = line.samples.size();
  double low = 0;
  double high = 0;
  for (std::size_t k = 0; k < level; ++k) {
    low += line.samples[k] / static_cast<double>(level);
    high += line.samples[n - 1 - k] / static_cast<double>(level);
  }
  const double middle = 0.5 * (low + high);
  std::optional<double> nearest;
  for (std::size_t k = 0; k + 1 < n; ++k) {
    const double a = line.samples[k] - middle;
    const double b = line.samples[k + 1] - middle;
    if ((a < 0) == (b < 0)) continue;
    const double at = line.first + (static_cast<double>(k) + a / (a - b)) * line.pitch;
    if (!nearest || std::abs(at - *about) < std::abs(*nearest - *about)) nearest = at;
  }
  return nearest;
}

// The channel with the largest step between a patch and paper.
int strongest_channel(const Rgb& linear) {
  return static_cast<int>(std::min_element(linear.begin(), linear.end()) - linear.begin());
}

void measure_x_edge(const PageRaster& raster, const ChartImage& image, const RasterFromSheet& map,
                    const Patch& patch, double nominal_mm, double printed_mm, int channel, double reach_mm,
                    std::vector<EdgePoint>& out) {
  const double px_per_mm = std::abs(map.ux);
  for (int b = 0; b < raster.blocks(); ++b) {
    const double v = b * raster.rows_per_block + 0.5 * raster.rows_in(b);
    const double y = (v - map.v0 - map.vx * nominal_mm) / map.vy;
    const double margin = kEnd_mm + raster.rows_per_block / std::abs(map.vy);
    if (y < patch.y_mm[0] + margin || y > patch.y_mm[1] - margin) continue;
    const auto window = window_at(image, nominal_mm, y, 1, 0, reach_mm);
    if (!window) continue;
    const auto half = static_cast<int>(std::ceil((window->search + window->level) * px_per_mm));
    const auto centre = static_cast<int>(std::floor(map.u(printed_mm, y)));
    if (centre - half < 0 || centre + half >= raster.width_px) continue;
    const std::uint16_t* row = raster.row(b, channel);
    Crossing line{{}, centre - half + 0.5, 1.0};
    for (int u = centre - half; u <= centre + half; ++u) line.samples.push_back(row[u] / 65535.0);
    const auto level = static_cast<std::size_t>(std::max(1.0, window->level * px_per_mm));
    if (const auto at = edge_by_crossing(line, level)) out.push_back({printed_mm, *at, v, -1, 0, channel});
  }
}

void measure_y_edge(const PageRaster& raster, const ChartImage& image, const RasterFromSheet& map,
                    const Patch& patch, double nominal_mm, int channel, double reach_mm,
                    std::vector<EdgePoint>& out) {
  constexpr double kStep_mm = 3.0;
  const double px_per_mm = std::abs(map.ux);
  const auto half_width = static_cast<int>(std::max(1.0, 0.4 * px_per_mm));
  const double block_mm = raster.rows_per_block / std::abs(map.vy);
  for (double x = patch.x_mm[0] + kEnd_mm; x < patch.x_mm[1] - kEnd_mm; x += kStep_mm) {
    const auto window = window_at(image, x, nominal_mm, 0, 1, std::max(reach_mm, 2 * block_mm));
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
      for (int u = middle - half_width; u <= middle + half_width; ++u) sum += raster.row(b, channel)[u];
      line.samples.push_back(sum / (65535.0 * (2 * half_width + 1)));
    }
    if (const auto at = edge_by_area(line, level))
      out.push_back({nominal_mm, middle + 0.5, *at, -1, 0, channel});
  }
}

void name(std::size_t from, int patch, int side, std::vector<EdgePoint>& points) {
  for (std::size_t k = from; k < points.size(); ++k) points[k].patch = patch, points[k].side = side;
}

}  // namespace

std::array<double, 2> printed_x_range(const Layout& layout, const Patch& patch) {
  const geometry::ColumnMap columns(layout);
  const geometry::SheetFromDrum sheet_from_drum(layout);
  const double px = layout.px_mm();
  std::array<double, 2> range = {1e300, -1e300};
  const auto printed = columns.printed();
  for (int c = printed.first; c <= printed.last; ++c) {
    const auto owner = columns.owner(c);
    if (owner.nobody()) continue;
    const double centre =
        geometry::drum_x_of_column(layout, c, layout.heads[static_cast<std::size_t>(owner.head)].carriage);
    const double x = sheet_from_drum.sheet_x(centre);
    if (x < patch.x_mm[0] || x >= patch.x_mm[1]) continue;
    const double half = 0.5 * px * std::abs(sheet_from_drum.scale);
    range[0] = std::min(range[0], x - half);
    range[1] = std::max(range[1], x + half);
  }
  return range;
}

PatchEdges measure_patch_edges(const PageRaster& raster, const Layout& layout, const Chart& chart,
                               const RasterFromSheet& map, const EdgeSearch& search) {
  return measure_patch_edges(raster, layout, chart, ChartImage(chart, kImageCell_mm), map, search);
}

PatchEdges measure_patch_edges(const PageRaster& raster, const Layout& layout, const Chart& chart,
                               const ChartImage& image, const RasterFromSheet& map,
                               const EdgeSearch& search) {
  PatchEdges out;
  for (std::size_t p = 0; p < chart.patches.size(); ++p) {
    const Patch& patch = chart.patches[p];
    if (patch.inks.empty()) continue;
    const int channel = strongest_channel(patch_linear(layout, patch, raster.grey));
    const auto printed = printed_x_range(layout, patch);
    if (printed[0] > printed[1]) continue;
    for (std::size_t side = 0; side < 2; ++side) {
      const std::size_t known_x = out.x.size();
      const std::size_t known_y = out.y.size();
      measure_x_edge(raster, image, map, patch, patch.x_mm[side], printed[side], channel, search.reach_mm,
                     out.x);
      measure_y_edge(raster, image, map, patch, patch.y_mm[side], channel, search.reach_mm, out.y);
      name(known_x, static_cast<int>(p), static_cast<int>(side), out.x);
      name(known_y, static_cast<int>(p), static_cast<int>(side), out.y);
    }
  }
  return out;
}

}  // namespace scrapetrace::page
