#pragma once
// The carriages of a layout's picture.

#include <string>
#include <string_view>
#include <vector>

#include "report/svg.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/layout_description.h"

namespace scrapetrace::report::picture {

// Canvas from drum.
struct DrumScale {
  double left_px = 0;
  double right_px = 0;
  double from_mm = 0;  // drum X at left_px
  double px_per_mm = 1;
  [[nodiscard]] double canvas_x(double drum_x_mm) const {
    return left_px + (drum_x_mm - from_mm) * px_per_mm;
  }
};

inline constexpr double kLabelsLeft = 24;  // canvas x of the words beside the rows

// Fill patterns that tell surfaces apart without colour.
std::string surface_defs();
std::string_view surface_fill(std::size_t surface);
// The different surfaces of the zones, in the order of the file.
std::vector<std::string> surfaces_of(const Layout& layout);

// Canvas height of all rows.
double carriages_height(const DrumScale& scale, const Layout& layout, const LayoutDescription& description);

// One row per carriage from canvas y `top` down; returns where they ended.
double draw_carriages(Svg& svg, const DrumScale& scale, const Layout& layout,
                      const LayoutDescription& description, double top);

// Text cut so that it is no wider than `width`.
std::string fitted(const std::string& text, const Font& font, double width);

}  // namespace scrapetrace::report::picture
