#include "page/as_printed.h"

#include <algorithm>

#include "page/printed_chart.h"

namespace scrapetrace::page {

namespace {

constexpr double kMargin = 0.25;  // of a tag's size, to each side

bool overlap(const std::array<double, 2>& a, const std::array<double, 2>& b) {
  return a[0] < b[1] && b[0] < a[1];
}

// Whether a patch overlaps.
bool covered(const Chart& chart, const Patch& words) {
  return std::any_of(chart.patches.begin(), chart.patches.end(), [&](const Patch& patch) {
    return overlap(patch.x_mm, words.x_mm) && overlap(patch.y_mm, words.y_mm);
  });
}

bool known(const std::vector<Patch>& patches, const Patch& one) {
  return std::any_of(patches.begin(), patches.end(),
                     [&](const Patch& p) { return p.x_mm == one.x_mm && p.y_mm == one.y_mm; });
}

// From the leftmost patch or mark to the rightmost; beyond is unprinted paper, then the sheet's edge.
std::array<double, 2> width_of_print(const Chart& chart) {
  std::array<double, 2> x = {chart.sheet_mm[0], 0};
  for (const Patch& patch : chart.patches) x = {std::min(x[0], patch.x_mm[0]), std::max(x[1], patch.x_mm[1])};
  for (const Mark& mark : chart.marks) {
    x = {std::min(x[0], mark.center_mm[0] - mark.size_mm / 2),
         std::max(x[1], mark.center_mm[0] + mark.size_mm / 2)};
  }
  return x;
}

// The patches cut to where heads print; unchanged when nothing would be left.
std::vector<Patch> within_ink(const Layout& layout, const std::vector<Patch>& patches) {
  const auto ink = printed_x_range(layout, {{}, {-1e300, 1e300}, {}, 1});
  std::vector<Patch> out;
  for (Patch patch : patches) {
    if (!patch.inks.empty()) patch.x_mm = {std::max(patch.x_mm[0], ink[0]), std::min(patch.x_mm[1], ink[1])};
    if (patch.x_mm[0] < patch.x_mm[1]) out.push_back(std::move(patch));
  }
  return out.empty() ? patches : out;
}

}  // namespace

Chart as_printed(const Layout& layout, const Chart& given) {
  Chart chart = given;
  chart.patches = within_ink(layout, given.patches);
  std::vector<Patch> words;
  const auto print = width_of_print(chart);
  for (const Mark& mark : chart.marks) {
    const double reach = (0.5 + kMargin) * mark.size_mm;
    Patch row;
    row.x_mm = print;
    row.y_mm = {std::max(0.0, mark.center_mm[1] - reach),
                std::min(chart.sheet_mm[1], mark.center_mm[1] + reach)};
    if (covered(chart, row)) row.x_mm = {mark.center_mm[0] - reach, mark.center_mm[0] + reach};
    if (!covered(chart, row) && !known(words, row)) words.push_back(row);
  }
  chart.patches.insert(chart.patches.end(), words.begin(), words.end());
  return chart;
}

}  // namespace scrapetrace::page
