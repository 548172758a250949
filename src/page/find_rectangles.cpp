#include "page/find_rectangles.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/robust.h"
#include "page/column_runs.h"

namespace scrapetrace::page {

namespace {

constexpr float kSameColour = 0.02F;     // lightness difference between columns of one rectangle
constexpr float kDrift = 0.0015F;        // additional difference per column apart, for mottle and haze
constexpr double kSameEnd_cells = 1.0;   // difference between ends of runs
constexpr float kEvenAcross = 0.10F;     // lightness range, 10 % to 90 % of a rectangle's columns
constexpr double kLeastUndamaged = 0.4;  // of a rectangle's columns
constexpr float kBlank = 0.03F;          // lightness below paper under which a cell is bare

std::size_t root(std::vector<std::size_t>& parent, std::size_t i) {
  while (parent[i] != i) i = parent[i] = parent[parent[i]];
  return i;
}

bool alike(const Run& a, const Run& b) {
  return a.column != b.column && std::abs(a.from - b.from) <= kSameEnd_cells &&
         std::abs(a.to - b.to) <= kSameEnd_cells &&
         largest_difference(a.lightness, b.lightness) <=
             kSameColour + kDrift * static_cast<float>(b.column - a.column - 1);
}

// Groups of run indices; runs are sorted by column. Sound columns on both sides of a streak join across it.
std::vector<std::vector<std::size_t>> group_runs(const std::vector<Run>& runs, int reach) {
  std::vector<std::size_t> parent(runs.size());
  std::iota(parent.begin(), parent.end(), 0U);
  std::size_t first = 0;
  for (std::size_t i = 0; i < runs.size(); ++i) {
    while (runs[i].column - runs[first].column > reach) ++first;
    for (std::size_t k = first; k < i; ++k) {
      if (alike(runs[k], runs[i])) parent[root(parent, i)] = root(parent, k);
    }
  }
  std::vector<std::vector<std::size_t>> groups;
  std::vector<std::size_t> group_of(runs.size(), runs.size());
  for (std::size_t i = 0; i < runs.size(); ++i) {
    std::size_t& group = group_of[root(parent, i)];
    if (group == runs.size()) group = groups.size(), groups.emplace_back();
    groups[group].push_back(i);
  }
  return groups;
}

double quantile(std::vector<double> values, double p) {
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(p * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

bool even_across(const std::vector<Run>& runs, const std::vector<std::size_t>& group) {
  for (std::size_t c = 0; c < 3; ++c) {
    std::vector<double> values;
    for (std::size_t k : group) values.push_back(static_cast<double>(runs[k].lightness[c]));
    if (quantile(values, 0.9) - quantile(values, 0.1) > static_cast<double>(kEvenAcross)) return false;
  }
  return true;
}

// Widest range of columns, in mm, whose middle half of rows is bare.
double widest_blank(const LightnessMap& lightness, int first, int last, double from, double to,
                    double cell_mm) {
  const int j0 = static_cast<int>(0.75 * from + 0.25 * to);
  const int j1 = std::max(j0 + 1, static_cast<int>(0.25 * from + 0.75 * to));
  int widest = 0;
  int here = 0;
  for (int i = first; i <= last; ++i) {
    bool bare = true;
    for (int j = j0; j < j1 && bare; ++j) bare = largest_difference(lightness.at(i, j), {1, 1, 1}) < kBlank;
    here = bare ? here + 1 : 0;
    widest = std::max(widest, here);
  }
  return widest * cell_mm;
}

FoundRectangle rectangle_of(const UprightMap& map, const LightnessMap& lightness,
                            const std::vector<Run>& runs, const std::vector<std::size_t>& group) {
  std::vector<double> from;
  std::vector<double> to;
  std::array<std::vector<double>, 3> light;
  for (std::size_t k : group) {
    from.push_back(runs[k].from);
    to.push_back(runs[k].to);
    for (std::size_t c = 0; c < 3; ++c) light[c].push_back(static_cast<double>(runs[k].lightness[c]));
  }
  const int first = runs[group.front()].column;
  const int last = runs[group.back()].column;
  FoundRectangle out;
  out.x_mm = {map.x_mm(first), map.x_mm(last + 1)};
  out.y_mm = {map.y_mm(median(from)), map.y_mm(median(to))};
  for (std::size_t c = 0; c < 3; ++c) out.over_paper[c] = std::pow(median(light[c]), 3);
  out.blank_mm = widest_blank(lightness, first, last, median(from), median(to), map.cell_mm);
  return out;
}

// Columns damaged to one level can form a rectangle inside the sound one.
bool inside(const FoundRectangle& a, const FoundRectangle& b, double slack_mm) {
  return a.x_mm[0] > b.x_mm[0] - slack_mm && a.x_mm[1] < b.x_mm[1] + slack_mm &&
         a.y_mm[0] > b.y_mm[0] - slack_mm && a.y_mm[1] < b.y_mm[1] + slack_mm &&
         a.x_mm[1] - a.x_mm[0] < b.x_mm[1] - b.x_mm[0];
}

}  // namespace

std::vector<FoundRectangle> find_rectangles(const UprightMap& map, const FoundSheet& sheet, const Rgb& paper,
                                            const RectangleOptions& options) {
  const LightnessMap lightness(map, sheet, paper);
  RunOptions run_options;
  run_options.shortest_cells = options.least_height_mm / map.cell_mm - 1;
  const auto runs = column_runs(lightness, run_options);
  const int reach = 1 + static_cast<int>(std::ceil(options.widest_damage_mm / map.cell_mm));
  std::vector<FoundRectangle> out;
  for (const auto& group : group_runs(runs, reach)) {
    const int columns = runs[group.back()].column - runs[group.front()].column + 1;
    // Measuring the sides may add a column at each end.
    if ((columns + 2) * map.cell_mm < options.least_width_mm) continue;
    if (static_cast<double>(group.size()) < kLeastUndamaged * columns || !even_across(runs, group)) continue;
    out.push_back(rectangle_of(map, lightness, runs, group));
  }
  const auto all = out;
  std::erase_if(out, [&](const FoundRectangle& a) {
    return std::any_of(all.begin(), all.end(),
                       [&](const FoundRectangle& b) { return inside(a, b, 2 * map.cell_mm); });
  });
  std::stable_sort(out.begin(), out.end(), [](const FoundRectangle& a, const FoundRectangle& b) {
    return a.y_mm[0] != b.y_mm[0] ? a.y_mm[0] < b.y_mm[0] : a.x_mm[0] < b.x_mm[0];
  });
  return out;
}

}  // namespace scrapetrace::page
