// The page and the streaks on it.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/picture_labels.h"
#include "report/picture_parts.h"
#include "report/words.h"

namespace scrapetrace::report::picture {

namespace {

constexpr double kLabelHeight = 24;
constexpr double kLeaderHeight = 26;
constexpr double kArrow = 9;

struct Mark {
  const Streak* streak = nullptr;
  double x = 0;
  std::string label;
  std::string_view colour;
  std::string_view dash;
};

const char* short_words(Cause cause) {
  switch (cause) {
    case Cause::residue:
      return "residue";
    case Cause::dead_jet:
      return "jet";
    case Cause::drum_scratch:
      return "drum";
    case Cause::blade_haze:
      return "blade";
    case Cause::scanner_line:
      return "scanner";
    case Cause::seam_mismatch:
      return "seam";
    case Cause::sheet_damage:
      return "sheet";
    case Cause::unknown:
      break;
  }
  return "unknown";
}

Mark mark_of(const Frame& frame, const StreakMark& wanted) {
  Mark mark{wanted.streak, frame.canvas_x(wanted.streak->x_sheet_mm),
            fmt::format("{} {}", wanted.streak->id, wanted.words), kInk, "7,4"};
  if (wanted.style == MarkStyle::residue) {
    mark.colour = kFirst;
    mark.dash = "";
  } else if (wanted.style == MarkStyle::settled) {
    mark.colour = kMuted;
    mark.dash = "2,4";
  }
  return mark;
}

std::vector<Mark> marks_on(const Frame& frame, const std::vector<StreakMark>& wanted) {
  std::vector<Mark> marks;
  for (const StreakMark& each : wanted) marks.push_back(mark_of(frame, each));
  std::stable_sort(marks.begin(), marks.end(), [](const Mark& a, const Mark& b) { return a.x < b.x; });
  return marks;
}

std::vector<double> widths_of(const std::vector<Mark>& marks, const Font& font) {
  std::vector<double> widths;
  for (const Mark& mark : marks) widths.push_back(text_width(mark.label, font) + 10);
  return widths;
}

std::vector<double> centres_of(const std::vector<Mark>& marks, const Frame& frame, const Font& font) {
  std::vector<double> wanted;
  for (const Mark& mark : marks) wanted.push_back(mark.x);
  return spread(wanted, widths_of(marks, font), 6, frame.left_px, frame.right_px);
}

// When labels would be pushed far from their streaks, only numbers are shown.
void shorten_if_crowded(std::vector<Mark>& marks, const Frame& frame, const Font& font) {
  constexpr double kFarPx = 90;
  const auto centres = centres_of(marks, frame, font);
  for (std::size_t i = 0; i < marks.size(); ++i) {
    if (std::abs(centres[i] - marks[i].x) <= kFarPx) continue;
    for (Mark& mark : marks) mark.label = std::to_string(mark.streak->id);
    return;
  }
}

void open_label(Svg& svg, const Frame& frame, const Mark& mark) {
  const std::string names = "hot " + streak_classes({mark.streak->id});
  if (!frame.in_page) return svg.open_group(names);
  svg.open_link(names, fmt::format("#streak-{}", mark.streak->id), "streak " + mark.label);
}

void draw_labels(Svg& svg, const Frame& frame, std::vector<Mark>& marks, double top) {
  Font font{14, true, Anchor::middle, kInk};
  shorten_if_crowded(marks, frame, font);
  const auto widths = widths_of(marks, font);
  const auto centres = centres_of(marks, frame, font);
  for (std::size_t i = 0; i < marks.size(); ++i) {
    open_label(svg, frame, marks[i]);
    svg.line(centres[i], top + kLabelHeight, marks[i].x, top + kLabelHeight + kLeaderHeight - kArrow,
             {marks[i].colour, 1.2});
    svg.rect(centres[i] - widths[i] / 2, top, widths[i], kLabelHeight, kPaper, {marks[i].colour, 1.5});
    font.colour = marks[i].colour;
    svg.text(centres[i], top + kLabelHeight - 7, marks[i].label, font);
    draw_halo(svg, centres[i] - widths[i] / 2 - 3, top - 3, widths[i] + 6, kLabelHeight + 6);
    frame.in_page ? svg.close_link() : svg.close_group();
  }
}

void outline(Svg& svg, const Mark& mark, double width, double from, double to) {
  svg.rect(mark.x - width / 2, from, width, to - from, "none", {kPaper, 4});
  svg.rect(mark.x - width / 2, from, width, to - from, "none", {mark.colour, 1.8, mark.dash});
}

void draw_streak(Svg& svg, const Frame& frame, const Mark& mark, double top, double bottom, double px_per_mm,
                 const PageBox& page) {
  const double width = std::max(mark.streak->width_mm * frame.px_per_mm + 8, 10.0);
  svg.open_group("hot " + streak_classes({mark.streak->id}));
  for (const Interval& span : mark.streak->y_sheet_mm) {
    const double from =
        top + (std::clamp(span.from_mm, page.top_mm, page.bottom_mm) - page.top_mm) * px_per_mm;
    const double to = top + (std::clamp(span.to_mm, page.top_mm, page.bottom_mm) - page.top_mm) * px_per_mm;
    outline(svg, mark, width, from, to);
  }
  for (const auto& [tip, base] : {std::pair{top, top - kArrow}, std::pair{bottom, bottom + kArrow}}) {
    svg.polygon(svg_point(mark.x, tip) + svg_point(mark.x - 6, base) + svg_point(mark.x + 6, base),
                mark.colour);
  }
  draw_halo(svg, mark.x - width / 2 - 4, top, width + 8, bottom - top);
  svg.close_group();
}

struct Tick {
  double at_mm = 0;
  std::string label;  // empty: none
};

// Ticks `step` units apart in [from, to], every `per_label`-th with a number.
std::vector<Tick> ticks(double from_mm, double to_mm, LengthUnit unit, double step, int per_label) {
  const double step_mm = unit == LengthUnit::inch ? 25.4 * step : step;
  std::vector<Tick> out;
  const int last = static_cast<int>(std::floor(to_mm / step_mm));
  for (int i = static_cast<int>(std::ceil(from_mm / step_mm)); i <= last; ++i)
    out.push_back({i * step_mm, i % per_label == 0 ? decimals(i * step, 0) : ""});
  return out;
}

// The sheet's y axis, with room for its labels.
void draw_side_ruler(Svg& svg, const Frame& frame, const PageBox& page, double top, double px_per_mm) {
  const bool inch = frame.unit == LengthUnit::inch;
  const double fine = inch ? 2 : 50;
  const double step = px_per_mm * 50 >= 28 ? fine : 2 * fine;
  const double x = frame.canvas_x(page.from_mm);
  for (const Tick& tick : ticks(page.top_mm, page.bottom_mm, frame.unit, step, 1)) {
    const double y = top + (tick.at_mm - page.top_mm) * px_per_mm;
    svg.line(x - 7, y, x, y, {kMuted, 1});
    svg.text(x - 10, y + 4, tick.label, {12, false, Anchor::end, kMuted});
  }
}

}  // namespace

std::vector<StreakMark> marks_of(const Findings& findings) {
  std::vector<StreakMark> out;
  for (const Streak& streak : findings.streaks) {
    const Cause cause = streak.likeliest();
    const MarkStyle style = cause == Cause::residue ? MarkStyle::residue : MarkStyle::other;
    if (streak.was_before) {
      out.push_back({&streak, fmt::format("{}, from before", short_words(cause)), MarkStyle::settled});
    } else {
      out.push_back({&streak, short_words(cause), style});
    }
  }
  return out;
}

double draw_page(Svg& svg, const Frame& frame, const PageBox& page, const EncodedThumbnail* thumbnail,
                 const std::vector<StreakMark>& streaks, double top) {
  auto marks = marks_on(frame, streaks);
  if (!marks.empty()) {
    draw_labels(svg, frame, marks, top);
    top += kLabelHeight + kLeaderHeight;
  }
  const double length_mm = page.bottom_mm - page.top_mm;
  const double px_per_mm = std::min(
      frame.px_per_mm, frame.tallest_page * (frame.right_px - frame.left_px) / std::max(length_mm, 1.0));
  const double left = frame.canvas_x(page.from_mm);
  const double width = frame.canvas_x(page.to_mm) - left;
  const double bottom = top + length_mm * px_per_mm;
  svg.rect(left, top, width, bottom - top, kPaper, {kMuted, 1.5});
  if (thumbnail != nullptr) {
    svg.image(frame.canvas_x(thumbnail->left_mm), top + (thumbnail->top_mm - page.top_mm) * px_per_mm,
              thumbnail->width_mm * frame.px_per_mm, thumbnail->height_mm * px_per_mm, thumbnail->png,
              frame.in_page ? "href" : "xlink:href");
    svg.rect(left, top, width, bottom - top, "none", {kMuted, 1.5});
  } else {
    svg.text(left + width / 2, (top + bottom) / 2, "no picture of the page",
             {18, false, Anchor::middle, kMuted});
  }
  draw_side_ruler(svg, frame, page, top, px_per_mm);
  for (const Mark& mark : marks) draw_streak(svg, frame, mark, top, bottom, px_per_mm, page);
  return bottom;
}

double draw_ruler(Svg& svg, const Frame& frame, const PageBox& page, const Findings& findings, double top) {
  constexpr double kStrip = 16;
  const Font font{12, false, Anchor::middle, kMuted};
  const bool inch = frame.unit == LengthUnit::inch;
  for (const Tick& tick : ticks(page.from_mm, page.to_mm, frame.unit, inch ? 0.25 : 10, inch ? 4 : 5)) {
    const double x = frame.canvas_x(tick.at_mm);
    svg.line(x, top, x, top + (tick.label.empty() ? 5 : 9), {kMuted, 1});
    if (!tick.label.empty()) svg.text(x, top + 22, tick.label, font);
  }
  top += 38;
  svg.text(frame.right_px, top, fmt::format("{} from the sheet's left edge", unit_word(frame.unit)),
           {12, false, Anchor::end, kMuted});
  if (findings.unchecked.empty()) return top;
  svg.text(frame.left_px, top, "not checked: hatched", {12, true, Anchor::start, kInk});
  top += 6;
  for (const Unchecked& gap : findings.unchecked) {
    const double a = frame.canvas_from_drum(gap.x_drum_mm.from_mm);
    const double b = frame.canvas_from_drum(gap.x_drum_mm.to_mm);
    const double from = std::max(std::min(a, b), frame.left_px);
    const double to = std::min(std::max(a, b), frame.right_px);
    if (to > from) svg.rect(from, top, std::max(to - from, 3.0), kStrip, kHatch, {kInk, 1});
  }
  return top + kStrip + 8;
}

}  // namespace scrapetrace::report::picture
