#pragma once
// The parts of the picture from top to bottom. Each draws from canvas y `top` down and returns its bottom.

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

// CSS classes of elements that belong to streaks, for highlighting.
std::string streak_classes(const std::vector<std::size_t>& ids);

// An invisible area around a mark that takes the pointer and can be highlighted.
void draw_halo(Svg& svg, double x, double y, double w, double h);

// How a streak is outlined: the line style distinguishes, colour only repeats it.
enum class MarkStyle {
  residue,  // solid
  other,    // dashed
  settled,  // dotted: there before the work, or gone since
};

struct StreakMark {
  const Streak* streak = nullptr;
  std::string words;  // after its number
  MarkStyle style = MarkStyle::other;
};

// Every streak with its cause; earlier ones are marked as such.
std::vector<StreakMark> marks_of(const Findings& findings);

// The picture of the first target's page, else the first one, else null.
const EncodedThumbnail* shown_page(const Findings& findings,
                                   const std::vector<std::optional<EncodedThumbnail>>& thumbnails);

// The sheet's box, as far as known.
PageBox page_of(const Layout& layout, const EncodedThumbnail* thumbnail, const PictureOptions& options);

// Wide enough for the page and all heads with their zones.
Frame frame_of(const Layout& layout, const PageBox& page, const PictureOptions& options, double margin);

// The page with each streak outlined so that its ink stays visible, labels above.
double draw_page(Svg& svg, const Frame& frame, const PageBox& page, const EncodedThumbnail* thumbnail,
                 const std::vector<StreakMark>& streaks, double top);

// Millimetres from the sheet's left edge, with unchecked ranges hatched.
double draw_ruler(Svg& svg, const Frame& frame, const PageBox& page, const Findings& findings, double top);

// One row per carriage with its heads, ranked targets above, and leader lines from the streaks at
// `page_bottom`.
double draw_heads(Svg& svg, const Frame& frame, const Layout& layout, const Findings& findings,
                  double page_bottom, double top);

// Text wrapped to the picture's width; returns the next free y.
double draw_lines(Svg& svg, const Frame& frame, const std::string& text, const Font& font, double top);

}  // namespace scrapetrace::report::picture
