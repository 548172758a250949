#pragma once
// The carriages in a layout's picture.

#include <string>
#include <string_view>
#include <vector>

#include "report/svg.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/layout_description.h"

namespace scrapetrace::report::picture {

// Canvas x from drum X.
struct DrumScale {
  double left_px = 0;
  double right_px = 0;
  double from_mm = 0;  // drum X at left_px
  double px_per_mm = 1;
  [[nodiscard]] double canvas_x(double drum_x_mm) const {
    return left_px + (drum_x_mm - from_mm) * px_per_mm;
  }
};

inline constexpr double kLabelsLeft = 24;  // canvas x of the labels beside the rows

// Fill patterns, so that surfaces differ without colour.
std::string surface_defs();
std::string_view surface_fill(std::size_t surface);
// The distinct surfaces of the zones, in file order.
std::vector<std::string> surfaces_of(const Layout& layout);

// Canvas height of all rows.
double carriages_height(const DrumScale& scale, const Layout& layout, const LayoutDescription& description);

// One row per carriage from canvas y `top` down; returns the bottom.
double draw_carriages(Svg& svg, const DrumScale& scale, const Layout& layout,
                      const LayoutDescription& description, double top);

// Text truncated to `width`.
std::string fitted(const std::string& text, const Font& font, double width);

}  // namespace scrapetrace::report::picture
