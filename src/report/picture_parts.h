#pragma once
// The parts of the picture, top to bottom. Each draws from canvas y `top` down and returns where it ended.

#include <optional>
#include <string>
#include <vector>

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

// How a streak is outlined: told apart by the line, the colour only repeats it.
enum class MarkStyle {
  residue,  // whole line
  other,    // dashed
  settled,  // dotted: there before the work, or gone since
};

struct StreakMark {
  const Streak* streak = nullptr;
  std::string words;  // after its number
  MarkStyle style = MarkStyle::other;
};

// Every streak with its cause; those that were there before say so.
std::vector<StreakMark> marks_of(const Findings& findings);

// The picture of the page that shows most: the first target's streak, else the first there is, else none.
const EncodedThumbnail* shown_page(const Findings& findings,
                                   const std::vector<std::optional<EncodedThumbnail>>& thumbnails);

// The sheet, or as much of it as is known.
PageBox page_of(const Layout& layout, const EncodedThumbnail* thumbnail, const PictureOptions& options);

// Wide enough for the page and for every head with its zones.
Frame frame_of(const Layout& layout, const PageBox& page, const PictureOptions& options, double margin);

// Labels of the streaks, the page under them with each streak outlined so that its ink stays visible.
double draw_page(Svg& svg, const Frame& frame, const PageBox& page, const EncodedThumbnail* thumbnail,
                 const std::vector<StreakMark>& streaks, double top);

// Millimetres from the sheet's left edge, and a strip that hatches what was not checked.
double draw_ruler(Svg& svg, const Frame& frame, const PageBox& page, const Findings& findings, double top);

// One row per carriage with its heads, the ranked targets above them, and lead lines from the streaks at
// `page_bottom` down to them.
double draw_heads(Svg& svg, const Frame& frame, const Layout& layout, const Findings& findings,
                  double page_bottom, double top);

// Text in lines no wider than the picture; returns the next free y.
double draw_lines(Svg& svg, const Frame& frame, const std::string& text, const Font& font, double top);

}  // namespace scrapetrace::report::picture
