#include "press/print_marks.h"

#include "tags/tag_pattern.h"

namespace scrapetrace::press {

Chart with_printed_marks(const Layout& layout, const Chart& chart) {
  Chart printed = chart;
  const auto black = tags::dark_inks(layout);
  for (const Mark& mark : chart.marks) {
    for (const auto& cells : tags::rectangles_of(mark))
      printed.patches.push_back({black, cells.x_mm, cells.y_mm, 1.0});
  }
  return printed;
}

}  // namespace scrapetrace::press
