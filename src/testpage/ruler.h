#pragma once
// Rulers in millimetres with the heads above them, for test page and strips.

#include <functional>
#include <vector>

#include "scrapetrace/layout_description.h"
#include "testpage/drawing.h"

namespace scrapetrace::testpage {

// Part of a ruler: values [from, to] mm, drawn at page x = left_mm + (value - from_mm).
struct Window {
  double from_mm = 0;
  double to_mm = 0;
  double left_mm = 0;
  [[nodiscard]] double page_x(double value_mm) const { return left_mm + value_mm - from_mm; }
  [[nodiscard]] bool shows(double value_mm) const { return value_mm >= from_mm && value_mm <= to_mm; }
};

// Ticks at whole millimetres from `y_mm` downwards (upwards for negative length), longer at fives and tens,
// with numbers at the tens.
void add_ticks(Drawing& page, const Window& window, double y_mm, double length_mm);

// The range of ink or drum that one head prints.
struct HeadSpan {
  std::string head;
  double from_mm = 0;
  double to_mm = 0;
  std::string from_side;  // as stencilled: "L" or "R"
  std::string to_side;
};
// On the sheet (sheet mm) or on the drum, each from left to right.
std::vector<HeadSpan> spans_on_sheet(const Layout& layout, const LayoutDescription& machine);
std::vector<HeadSpan> spans_on_drum(const Layout& layout, const LayoutDescription& machine);

// A bar per head over [top, top + height] with its name, its stencilled sides at the ends, and a line at each
// seam.
void add_heads(Drawing& page, const Window& window, const std::vector<HeadSpan>& heads, double top_mm,
               double height_mm);

}  // namespace scrapetrace::testpage
