#include "page/chart_symmetry.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

namespace scrapetrace::page {

namespace {

constexpr double kSame_mm = 0.05;

using Span = std::array<double, 2>;

Span over_all(const Chart& chart, bool x) {
  Span out{1e9, -1e9};
  for (const Patch& patch : chart.patches) {
    const auto& span = x ? patch.x_mm : patch.y_mm;
    out = {std::min(out[0], span[0]), std::max(out[1], span[1])};
  }
  return out;
}

Span turned_over(const Span& span, const Span& whole, bool over) {
  return over ? Span{whole[0] + whole[1] - span[1], whole[0] + whole[1] - span[0]} : span;
}

bool same_span(const Span& a, const Span& b) {
  return std::abs(a[0] - b[0]) < kSame_mm && std::abs(a[1] - b[1]) < kSame_mm;
}

}  // namespace

bool is_symmetric_when_turned(const Chart& chart, bool across, bool along) {
  const Span wide = over_all(chart, true);
  const Span high = over_all(chart, false);
  return std::all_of(chart.patches.begin(), chart.patches.end(), [&](const Patch& patch) {
    const Span x = turned_over({patch.x_mm[0], patch.x_mm[1]}, wide, across);
    const Span y = turned_over({patch.y_mm[0], patch.y_mm[1]}, high, along);
    const std::multiset inks(patch.inks.begin(), patch.inks.end());
    return std::any_of(chart.patches.begin(), chart.patches.end(), [&](const Patch& other) {
      return same_span(x, {other.x_mm[0], other.x_mm[1]}) && same_span(y, {other.y_mm[0], other.y_mm[1]}) &&
             inks == std::multiset(other.inks.begin(), other.inks.end()) && patch.coverage == other.coverage;
    });
  });
}

}  // namespace scrapetrace::page
