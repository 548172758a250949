#pragma once
// The parts of the picture, top to bottom. Each draws from canvas y `top` down and returns where it ended.

#include <string>

#include "report/picture_style.h"
#include "report/picture_svg.h"
#include "report/svg.h"

namespace scrapetrace::report::picture {

struct PageBox {
  double from_mm = 0;  // sheet x
  double to_mm = 0;
  double top_mm = 0;  // sheet y
  double bottom_mm = 0;
};

// Classes of what belongs to streaks: a page that shows the picture lights up all that share one.
std::string streak_classes(const std::vector<std::size_t>& ids);

// Room around a mark that takes the pointer and that a page may light up; not seen otherwise.
void draw_halo(Svg& svg, double x, double y, double w, double h);

// Labels of the streaks, the page under them with each streak outlined so that its ink stays visible.
double draw_page(Svg& svg, const Frame& frame, const PageBox& page, const EncodedThumbnail* thumbnail,
                 const Findings& findings, double top);

// Millimetres from the sheet's left edge, and a strip that hatches what was not checked.
double draw_ruler(Svg& svg, const Frame& frame, const PageBox& page, const Findings& findings, double top);

// One row per carriage with its heads, the ranked targets above them, and lead lines from the streaks at
// `page_bottom` down to them.
double draw_heads(Svg& svg, const Frame& frame, const Layout& layout, const Findings& findings,
                  double page_bottom, double top);

// Text in lines no wider than the picture; returns the next free y.
double draw_lines(Svg& svg, const Frame& frame, const std::string& text, const Font& font, double top);

}  // namespace scrapetrace::report::picture
