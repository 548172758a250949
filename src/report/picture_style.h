#pragma once
// The picture's scale and colours. Everything must also be legible in black and white.

#include <string_view>

#include "geometry/frames.h"
#include "report/units.h"

namespace scrapetrace::report::picture {

inline constexpr std::string_view kInk = "#1c2733";
inline constexpr std::string_view kMuted = "#5d6b76";
inline constexpr std::string_view kRule = "#aeb8bf";
inline constexpr std::string_view kBackground = "#f6f5f1";
inline constexpr std::string_view kPaper = "#ffffff";
inline constexpr std::string_view kHead = "#dfe6ea";
inline constexpr std::string_view kFirst = "#a8231c";
inline constexpr std::string_view kHatch = "url(#hatch)";
inline constexpr std::string_view kHatchDefs =
    "<pattern id=\"hatch\" width=\"8\" height=\"8\" patternUnits=\"userSpaceOnUse\" "
    "patternTransform=\"rotate(45)\"><rect width=\"8\" height=\"8\" fill=\"#ffffff\" fill-opacity=\"0.55\"/>"
    "<line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"8\" stroke=\"#5d6b76\" stroke-width=\"2.5\"/></pattern>";

// Canvas x from sheet x, and through it from drum X: one scale for page and heads.
struct Frame {
  double left_px = 0;   // canvas x of the left limit
  double right_px = 0;  // canvas x of the right limit
  double from_mm = 0;   // sheet x at left_px
  double px_per_mm = 1;
  geometry::SheetFromDrum sheet_from_drum;
  LengthUnit unit = LengthUnit::mm;
  double tallest_page = 0.62;  // relative to the picture's width; longer sheets are drawn shortened
  bool in_page = false;        // links to sections of the page; images referenced as HTML does

  [[nodiscard]] double canvas_x(double sheet_x_mm) const {
    return left_px + (sheet_x_mm - from_mm) * px_per_mm;
  }
  [[nodiscard]] double canvas_from_drum(double drum_x_mm) const {
    return canvas_x(sheet_from_drum.sheet_x(drum_x_mm));
  }
};

}  // namespace scrapetrace::report::picture
