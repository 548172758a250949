#include "press/strips.h"

#include <algorithm>
#include <cmath>

#include "geometry/frames.h"

namespace scrapetrace::press {

namespace {

// Far below any ink or pixel, far above rounding: nearer edges are one edge.
constexpr double kSameEdge_mm = 1e-7;

double offset_of(const Layout& layout, const geometry::Owner& owner) {
  return layout.carriages[layout.heads[static_cast<std::size_t>(owner.head)].carriage].offset_mm;
}

std::vector<double> sorted_edges(std::vector<double> edges) {
  std::sort(edges.begin(), edges.end());
  const auto same = [](double a, double b) { return b - a < kSameEdge_mm; };
  edges.erase(std::unique(edges.begin(), edges.end(), same), edges.end());
  return edges;
}

}  // namespace

Strips cut_strips(const Layout& layout, const Layout& machine, const geometry::ColumnMap& map, double from_mm,
                  double to_mm) {
  const geometry::SheetFromDrum sheet_from_drum(layout);
  const double px = layout.px_mm();
  const double end_a = sheet_from_drum.drum_x(from_mm);
  const double end_b = sheet_from_drum.drum_x(to_mm);
  const int first = static_cast<int>(std::floor(std::min(end_a, end_b) / px)) - 1;
  const int last = static_cast<int>(std::ceil(std::max(end_a, end_b) / px)) + 1;
  const int low = std::min(first, 0);
  const int high = std::max(last, map.columns() - 1);

  Strips strips;
  std::vector<double> edges;
  for (int c = low; c <= high; ++c) {
    const auto owner = map.owner(c);
    const double left = c * px + (owner.nobody() ? 0 : offset_of(machine, owner));
    edges.push_back(sheet_from_drum.sheet_x(left));
    edges.push_back(sheet_from_drum.sheet_x(left + px));
  }
  strips.edges_mm = sorted_edges(std::move(edges));

  for (int c = 0; c < map.columns(); ++c) {
    const auto owner = map.owner(c);
    if (owner.nobody()) continue;
    const double x_drum = c * px + px / 2 + offset_of(machine, owner);
    const double x_sheet = sheet_from_drum.sheet_x(x_drum);
    const double planned = sheet_from_drum.sheet_x(c * px + px / 2 + offset_of(layout, owner));
    const double half = std::abs(sheet_from_drum.scale) * px / 2 - kSameEdge_mm;
    const auto& e = strips.edges_mm;
    auto i = std::upper_bound(e.begin(), e.end(), x_sheet - half) - e.begin() - 1;
    for (; e[static_cast<std::size_t>(i)] < x_sheet + half; ++i) {
      strips.lays.push_back({static_cast<int>(i), c, planned, x_drum});
    }
  }
  std::stable_sort(strips.lays.begin(), strips.lays.end(),
                   [](const auto& a, const auto& b) { return a.strip < b.strip; });
  return strips;
}

}  // namespace scrapetrace::press
