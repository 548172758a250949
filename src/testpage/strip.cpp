#include "testpage/strip.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/zones.h"
#include "testpage/ruler.h"

namespace scrapetrace::testpage {

namespace {

constexpr double kPageWidth_mm = 297;
constexpr double kPageHeight_mm = 210;
constexpr double kMargin_mm = 15;
constexpr double kPiece_mm = kPageWidth_mm - 2 * kMargin_mm;
constexpr double kJoin_mm = 5;  // from a joint to the paper ruler's end, to be glued under
constexpr double kZone_mm = 7.5;
const Rgb kZoneGrey = {0.80, 0.80, 0.80};
const Rgb kZonePale = {0.92, 0.92, 0.92};

Words words(double x, double y, std::string text, double size, bool bold = false) {
  return {{x, y}, std::move(text), size, Anchor::left, kPageWidth_mm - kMargin_mm - x, bold, kBlack};
}

// The part of [low, high] on sheet `index`: whole centimetres, so that joints fall on long ticks.
struct Piece {
  Window window;
  bool joined_left = false;
  bool joined_right = false;
};
std::vector<Piece> pieces_of(double low, double high) {
  std::vector<Piece> out;
  const double step = std::floor((kPiece_mm - 2 * kJoin_mm) / 10) * 10;
  double from = low;
  while (true) {
    const double next = (std::floor(from / 10) + step / 10) * 10;
    const bool last = high - from <= kPiece_mm - kJoin_mm;
    const bool first = out.empty();
    out.push_back(
        {{first ? from : from - kJoin_mm, last ? high : next + kJoin_mm, kMargin_mm}, !first, !last});
    if (last) return out;
    from = next;
  }
}

// A dashed line where two sheets join, with the same letter on both.
void add_joins(Drawing& page, const Piece& piece, std::size_t index, double top, double bottom) {
  const auto join = [&](double value, std::size_t letter, Anchor anchor) {
    const double x = piece.window.page_x(value);
    page.items.emplace_back(Stroke{{x, top}, {x, bottom}, 0.25, kBlack, true});
    const std::string name = fmt::format("join {}", static_cast<char>('A' + letter % 26));
    page.items.emplace_back(Words{
        {x + (anchor == Anchor::left ? 0.8 : -0.8), bottom - 0.6}, name, 2.2, anchor, 0, false, kBlack});
  };
  if (piece.joined_left) join(piece.window.from_mm + kJoin_mm, index - 1, Anchor::left);
  if (piece.joined_right) join(piece.window.to_mm - kJoin_mm, index, Anchor::right);
}

void add_head_strip(Drawing& page, const Piece& piece, const std::vector<HeadSpan>& heads, double top) {
  add_ticks(page, piece.window, top + 5.5, -3.2);
  page.items.emplace_back(Stroke{{piece.window.page_x(piece.window.from_mm), top + 5.5},
                                 {piece.window.page_x(piece.window.to_mm), top + 5.5},
                                 0.2,
                                 kBlack,
                                 false});
  add_heads(page, piece.window, heads, top + 6.6, 6);
}

// A line per head and side: where residue on each surface may be, carriage at home. Neighbouring zones
// overlap, so heads alternate between two lines.
void add_zones(Drawing& page, const Piece& piece, const Layout& layout, double top) {
  const auto zones = geometry::target_zones(layout);
  for (const auto& zone : zones) {
    const double from = std::max(zone.from_mm, piece.window.from_mm);
    const double to = std::min(zone.to_mm, piece.window.to_mm);
    if (to - from < 0.3) continue;
    const Zone& kind = layout.zones[zone.zone];
    const std::size_t surface =
        static_cast<std::size_t>(std::find_if(layout.zones.begin(), layout.zones.end(),
                                              [&](const Zone& z) { return z.surface == kind.surface; }) -
                                 layout.zones.begin());
    const double y = top + (zone.head % 2 == 0 ? 0 : kZone_mm + 0.4);
    page.items.emplace_back(box({piece.window.page_x(from), piece.window.page_x(to)}, {y, y + kZone_mm},
                                surface == 0 ? kZoneGrey : kZonePale));
    const double room = to - from - 0.8;
    if (room < 3) continue;
    const double middle = piece.window.page_x((from + to) / 2);
    const std::string name = layout.heads[zone.head].name + (kind.side == Side::left ? " L" : " R");
    page.items.emplace_back(Words{{middle, y + 3.3}, name, 2.8, Anchor::middle, room, true, kBlack});
    page.items.emplace_back(Words{{middle, y + 6.3}, kind.surface, 2.3, Anchor::middle, room, false, kBlack});
  }
}

void add_scale_check(Drawing& page, double y) {
  const double x = kMargin_mm;
  page.items.emplace_back(Stroke{{x, y}, {x + 100, y}, 0.4, kBlack, false});
  for (const double end : {0.0, 50.0, 100.0}) {
    const double half = end == 50 ? 1.5 : 3;
    page.items.emplace_back(Stroke{{x + end, y - half}, {x + end, y + half}, 0.25, kBlack, false});
  }
  page.items.emplace_back(
      words(x + 106, y - 0.6, "Measure this bar with a steel rule: 100.0 mm from line to line.", 3));
  page.items.emplace_back(
      words(x + 106, y + 3.4, "If it is not, print again at 100 %, without fitting to the page.", 3));
}

void add_cautions(Drawing& page, const std::vector<std::string>& cautions, double y) {
  page.items.emplace_back(words(kMargin_mm, y, "Before the carriages", 3.2, true));
  for (const auto& caution : cautions) page.items.emplace_back(words(kMargin_mm, y += 4, caution, 2.7));
}

Interval drum_reach(const Layout& layout, const LayoutDescription& machine) {
  Interval reach = machine.printed_drum_mm;
  for (const auto& zone : geometry::target_zones(layout)) {
    reach.from_mm = std::min(reach.from_mm, zone.from_mm);
    reach.to_mm = std::max(reach.to_mm, zone.to_mm);
  }
  return {std::floor(reach.from_mm), std::ceil(reach.to_mm)};
}

Drawing empty_sheet(const Layout& layout, const StripOptions& options, std::size_t index, std::size_t count) {
  Drawing page{kPageWidth_mm, kPageHeight_mm, {}};
  page.items.emplace_back(
      words(kMargin_mm, 16, fmt::format("{}: paper rulers, sheet {} of {}", layout.name, index + 1, count), 5,
            true));
  add_scale_check(page, 24);
  add_cautions(page, options.cautions, 160);
  return page;
}

void add_print_strip(Drawing& page, const Piece& piece, std::size_t index,
                     const std::vector<HeadSpan>& heads) {
  constexpr double kTop = 42;
  page.items.emplace_back(words(kMargin_mm, kTop - 3, "Against the print", 3.6, true));
  page.items.emplace_back(words(kMargin_mm + 45, kTop - 3,
                                "Print face up, lead edge away from you; 0 lies at the sheet's left edge. "
                                "Which head printed a streak's ink.",
                                2.7));
  add_head_strip(page, piece, heads, kTop);
  page.items.emplace_back(words(kMargin_mm, kTop + 19,
                                "A scraping head is often not the one that printed: read millimetres here, "
                                "then weigh both heads at a seam.",
                                2.7));
  add_joins(page, piece, index, kTop - 1, kTop + 16);
}

void add_carriage_strip(Drawing& page, const Piece& piece, std::size_t index, const Layout& layout,
                        const std::vector<HeadSpan>& heads) {
  constexpr double kTop = 88;
  page.items.emplace_back(words(kMargin_mm, kTop - 3, "Against the carriages", 3.6, true));
  page.items.emplace_back(
      words(kMargin_mm + 45, kTop - 3,
            "Facing the faceplates, carriages at home; millimetres from the drum's left edge. "
            "L and R: sides as stencilled.",
            2.7));
  add_head_strip(page, piece, heads, kTop);
  add_zones(page, piece, layout, kTop + 14.5);
  page.items.emplace_back(
      words(kMargin_mm, kTop + 35.5,
            "Bars below the heads: where residue on each side and surface may sit. A zone is "
            "wider than its residue; look before anything is cleaned.",
            2.7));
  add_joins(page, piece, index, kTop - 1, kTop + 33);
}

}  // namespace

std::vector<Drawing> draw_strips(const Layout& layout, const LayoutDescription& machine,
                                 const StripOptions& options) {
  const auto print = pieces_of(0, options.sheet_width_mm);
  const Interval reach = drum_reach(layout, machine);
  const auto carriage = pieces_of(reach.from_mm, reach.to_mm);
  const std::size_t count = std::max(print.size(), carriage.size());
  std::vector<Drawing> pages;
  for (std::size_t i = 0; i < count; ++i) {
    Drawing page = empty_sheet(layout, options, i, count);
    if (i < print.size()) add_print_strip(page, print[i], i, spans_on_sheet(layout, machine));
    if (i < carriage.size()) add_carriage_strip(page, carriage[i], i, layout, spans_on_drum(layout, machine));
    pages.push_back(std::move(page));
  }
  return pages;
}

}  // namespace scrapetrace::testpage
