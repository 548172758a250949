#include "page/column_runs.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace scrapetrace::page {

namespace {

constexpr double kInset_mm = 0.7;  // the sheet's own edge is not ink

// Centres of sharp changes down a column, in cells; the sheet's ends count.
std::vector<double> sharp_changes(const LightnessMap& map, int i, float least_step) {
  const int n = map.height();
  const auto step = [&](int j) {  // between cells j - 1 and j, over two cells
    if (j < 1 || j >= n || !map.on_sheet(i, j - 1) || !map.on_sheet(i, j)) return 0.0F;
    const int before = j >= 2 && map.on_sheet(i, j - 2) ? j - 2 : j - 1;
    const int after = j + 1 < n && map.on_sheet(i, j + 1) ? j + 1 : j;
    return largest_difference(map.at(i, after), map.at(i, before));
  };
  std::vector<double> out;
  for (int j = 0; j <= n; ++j) {
    const bool here = j < n && map.on_sheet(i, j);
    const bool above = j > 0 && map.on_sheet(i, j - 1);
    if (here != above) out.push_back(j);
    if (!here || !above) continue;
    const float s = step(j);
    if (s < least_step || s < step(j - 1) || s <= step(j + 1)) continue;
    // Centre of gravity of the steps at three neighbouring borders.
    double sum = 0;
    double at = 0;
    for (int k = j - 1; k <= j + 1; ++k) {
      if (k < 1 || k >= n || !map.on_sheet(i, k - 1) || !map.on_sheet(i, k)) continue;
      const auto share = static_cast<double>(largest_difference(map.at(i, k), map.at(i, k - 1)));
      sum += share;
      at += share * k;
    }
    out.push_back(sum > 0 ? at / sum : j);
  }
  return out;
}

float median_of(std::vector<float>& values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

std::optional<Run> even_run(const LightnessMap& map, int i, double from, double to,
                            const RunOptions& options) {
  const int first = static_cast<int>(std::ceil(from + 0.7));
  const int last = static_cast<int>(std::floor(to - 0.7)) - 1;
  if (to - from < options.shortest_cells || last < first || !map.on_sheet(i, first)) return std::nullopt;
  Run run{i, from, to, {}};
  float inked = 0;
  std::vector<float> values;
  for (std::size_t c = 0; c < 3; ++c) {
    values.clear();
    for (int j = first; j <= last; ++j) values.push_back(map.at(i, j)[c]);
    run.lightness[c] = median_of(values);
    const auto [low, high] = std::minmax_element(values.begin(), values.end());
    if (*high - *low > options.evenness) return std::nullopt;
    inked = std::max(inked, 1 - run.lightness[c]);
  }
  return inked < options.least_ink ? std::nullopt : std::optional(run);
}

}  // namespace

LightnessMap::LightnessMap(const UprightMap& map, const FoundSheet& sheet, const Rgb& paper)
    : width_(map.width), height_(map.height) {
  cells_.reserve(map.linear.size());
  for (int j = 0; j < height_; ++j) {
    for (int i = 0; i < width_; ++i) {
      const double x = map.x_mm(i + 0.5);
      const double y = map.y_mm(j + 0.5);
      const auto& linear = map.at(i, j);
      const bool inside = x > sheet.x_mm[0] + kInset_mm && x < sheet.x_mm[1] - kInset_mm &&
                          y > sheet.y_mm[0] + kInset_mm && y < sheet.y_mm[1] - kInset_mm && linear[0] >= 0;
      Lightness cell = {-1, -1, -1};
      for (std::size_t c = 0; inside && c < 3; ++c)
        cell[c] = std::cbrt(linear[c] / static_cast<float>(paper[c]));
      cells_.push_back(cell);
    }
  }
}

float largest_difference(const Lightness& a, const Lightness& b) {
  float largest = 0;
  for (std::size_t c = 0; c < 3; ++c) largest = std::max(largest, std::abs(a[c] - b[c]));
  return largest;
}

std::vector<Run> column_runs(const LightnessMap& map, const RunOptions& options) {
  std::vector<Run> runs;
  for (int i = 0; i < map.width(); ++i) {
    const auto changes = sharp_changes(map, i, options.least_step);
    for (std::size_t k = 0; k + 1 < changes.size(); ++k) {
      if (const auto run = even_run(map, i, changes[k], changes[k + 1], options)) runs.push_back(*run);
    }
  }
  return runs;
}

}  // namespace scrapetrace::page
