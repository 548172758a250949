#include "page/printed_chart.h"

#include <algorithm>

#include "geometry/column_map.h"
#include "geometry/frames.h"

namespace scrapetrace::page {

namespace {

constexpr double kImageCell_mm = 0.25;

// `columns` are the layout's.
std::array<double, 2> range_printed(const Layout& layout, const geometry::ColumnMap& columns,
                                    const Patch& patch) {
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

}  // namespace

std::array<double, 2> printed_x_range(const Layout& layout, const Patch& patch) {
  return range_printed(layout, geometry::ColumnMap(layout), patch);
}

PrintedChart::PrintedChart(const Layout& layout, const Chart& chart, bool grey)
    : image(chart, kImageCell_mm) {
  const geometry::ColumnMap columns(layout);
  for (const Patch& patch : chart.patches) {
    const Rgb linear = patch_linear(layout, patch, grey);
    const auto darkest = std::min_element(linear.begin(), linear.end());
    const std::array<double, 2> nothing = {1e300, -1e300};
    patches.push_back({static_cast<int>(darkest - linear.begin()),
                       patch.inks.empty() ? nothing : range_printed(layout, columns, patch)});
  }
}

}  // namespace scrapetrace::page
