#include "report/picture_svg.h"

#include <fmt/format.h>

#include <algorithm>

#include "geometry/zones.h"
#include "report/answer.h"
#include "report/phrases.h"
#include "report/picture_parts.h"
#include "report/words.h"
#include "report/wrap.h"

namespace scrapetrace::report {

namespace picture {

namespace {

// The page of the first target's streak, else the first one.
std::size_t shown_scan(const Findings& findings,
                       const std::vector<std::optional<EncodedThumbnail>>& thumbnails) {
  const auto there = [&](std::size_t i) { return i < thumbnails.size() && thumbnails[i].has_value(); };
  if (!findings.targets.empty()) {
    const auto& ids = findings.targets.front().streaks;
    for (const Streak& streak : findings.streaks) {
      if (std::find(ids.begin(), ids.end(), streak.id) == ids.end()) continue;
      for (const std::size_t scan : streak.scans) {
        if (there(scan)) return scan;
      }
    }
  }
  for (std::size_t i = 0; i < thumbnails.size(); ++i) {
    if (there(i)) return i;
  }
  return thumbnails.size();
}

}  // namespace

double draw_lines(Svg& svg, const Frame& frame, const std::string& text, const Font& font, double top) {
  const double per_character = text_width("x", font);
  const auto columns = static_cast<std::size_t>((frame.right_px - frame.left_px) / per_character);
  std::string rest = text.empty() ? "" : wrap("", text, columns);
  while (!rest.empty()) {
    const auto end = rest.find('\n');
    top += font.size * 1.3;
    svg.text(frame.left_px, top, rest.substr(0, end), font);
    rest.erase(0, end + 1);
  }
  return top;
}

std::string streak_classes(const std::vector<std::size_t>& ids) {
  std::string out;
  for (const std::size_t id : ids) out += fmt::format("{}s{}", out.empty() ? "" : " ", id);
  return out;
}

void draw_halo(Svg& svg, double x, double y, double w, double h) {
  svg.open_group("halo");
  svg.rect(x, y, w, h, "none");
  svg.close_group();
}

PageBox page_of(const Layout& layout, const EncodedThumbnail* thumbnail, const PictureOptions& options) {
  constexpr double kBlankPageMm = 120;
  if (options.sheet_mm) return {0, (*options.sheet_mm)[0], 0, (*options.sheet_mm)[1]};
  if (thumbnail != nullptr) {
    return {thumbnail->left_mm, thumbnail->left_mm + thumbnail->width_mm, thumbnail->top_mm,
            thumbnail->top_mm + thumbnail->height_mm};
  }
  const geometry::SheetFromDrum sheet_from_drum(layout);
  return {0, std::max(sheet_from_drum.sheet_x(0), sheet_from_drum.sheet_x(layout.drum.width_mm)), 0,
          kBlankPageMm};
}

Frame frame_of(const Layout& layout, const PageBox& page, const PictureOptions& options, double margin) {
  const geometry::SheetFromDrum sheet_from_drum(layout);
  double from = page.from_mm;
  double to = page.to_mm;
  const auto include = [&](double drum_x_mm) {
    from = std::min(from, sheet_from_drum.sheet_x(drum_x_mm));
    to = std::max(to, sheet_from_drum.sheet_x(drum_x_mm));
  };
  for (const auto& zone : geometry::target_zones(layout)) {
    include(zone.from_mm);
    include(zone.to_mm);
  }
  for (const Head& head : layout.heads) {
    include(geometry::outermost_jet_mm(layout, head, Side::left));
    include(geometry::outermost_jet_mm(layout, head, Side::right));
  }
  const double right = options.width_px - margin;
  const double scale = (right - margin) / std::max(to - from, 1.0);
  return {margin, right, from, scale, sheet_from_drum, options.unit};
}

const EncodedThumbnail* shown_page(const Findings& findings,
                                   const std::vector<std::optional<EncodedThumbnail>>& thumbnails) {
  const std::size_t scan = shown_scan(findings, thumbnails);
  return scan < thumbnails.size() ? &*thumbnails[scan] : nullptr;
}

}  // namespace picture

namespace {

using namespace picture;

constexpr double kPictureMargin = 64;

std::string_view base_name(std::string_view path) {
  return path.substr(path.find_last_of('/') + 1);
}

// For the first target: the residue's place on the head and its streak's place on the print.
std::string whereabouts(const Answer& found, const Findings& findings, LengthUnit unit) {
  if (found.targets.empty()) return {};
  const Target& target = findings.targets[found.targets.front()];
  return fmt::format("On the head: {}. On the print: {}.", where_on_head(target, unit),
                     where_on_print(target, findings, unit));
}

std::string cautions_line() {
  std::string out = "CAUTION:";
  for (const auto line : cautions()) out += ' ' + std::string(line);
  return out;
}

}  // namespace

std::string picture_caption(const Layout& layout, const Findings& findings,
                            const std::vector<std::optional<EncodedThumbnail>>& thumbnails) {
  const std::size_t scan = shown_scan(findings, thumbnails);
  std::string out = printable(layout.name);
  if (scan < findings.scans.size())
    out += fmt::format("; page shown: {}", printable(base_name(findings.scans[scan].file)));
  if (findings.scans.size() > 1) out += fmt::format("; streaks of all {} scans", findings.scans.size());
  return out + "; printed side up, lead edge at the top.";
}

std::string picture_legend(const Findings& findings) {
  std::string out;
  if (!findings.targets.empty()) {
    out =
        "Bars: where each target's zone lies, with its rank and probability; diamond: where the residue is "
        "expected. ";
  }
  out += "Left and right: as stencilled on the head. Dashed outline: not a scrape.";
  const bool old = std::any_of(findings.streaks.begin(), findings.streaks.end(),
                               [](const Streak& streak) { return streak.was_before; });
  if (old) out += " Dotted outline: the scans from before show it too, no target rests on it.";
  if (!findings.unchecked.empty()) out += " Hatched: not checked, so not known to be clean.";
  return out;
}

std::string picture_svg(const Layout& layout, const Findings& findings,
                        const std::vector<std::optional<EncodedThumbnail>>& thumbnails,
                        const PictureOptions& options) {
  const EncodedThumbnail* thumbnail = shown_page(findings, thumbnails);
  const PageBox page = page_of(layout, thumbnail, options);
  const Frame frame = frame_of(layout, page, options, kPictureMargin);
  Svg svg;
  const Answer found = answer(findings);
  double y = draw_lines(svg, frame, found.sentence, {28, true, Anchor::start, kInk}, 22);
  y = draw_lines(svg, frame, whereabouts(found, findings, options.unit), {18, false, Anchor::start, kInk},
                 y + 2);
  y = draw_lines(svg, frame, picture_caption(layout, findings, thumbnails),
                 {14, false, Anchor::start, kMuted}, y + 6);
  const double page_bottom = draw_page(svg, frame, page, thumbnail, marks_of(findings), y + 20);
  y = draw_ruler(svg, frame, page, findings, page_bottom + 10);
  y = draw_heads(svg, frame, layout, findings, page_bottom, y);
  y = draw_lines(svg, frame, picture_legend(findings), {13, false, Anchor::start, kMuted}, y);
  if (may_open_machine(found))
    y = draw_lines(svg, frame, cautions_line(), {14, true, Anchor::start, kInk}, y + 8);
  y = draw_lines(svg, frame, options.origin, {12, false, Anchor::start, kMuted}, y + 6);
  return std::move(svg).finish(options.width_px, y + 24, kBackground, kHatchDefs);
}

std::string picture_in_page(const Layout& layout, const Findings& findings,
                            const std::vector<std::optional<EncodedThumbnail>>& thumbnails,
                            const PictureOptions& options) {
  constexpr double kSmallMargin = 36;  // for the side ruler's numbers
  const EncodedThumbnail* thumbnail = shown_page(findings, thumbnails);
  const PageBox page = page_of(layout, thumbnail, options);
  Frame frame = frame_of(layout, page, options, kSmallMargin);
  frame.in_page = true;
  Svg svg;
  const double page_bottom = draw_page(svg, frame, page, thumbnail, marks_of(findings), 8);
  double y = draw_ruler(svg, frame, page, findings, page_bottom + 10);
  y = draw_heads(svg, frame, layout, findings, page_bottom, y);
  return std::move(svg).finish_inline(options.width_px, y,
                                      "The page with its streaks, and the heads below it", kHatchDefs);
}

}  // namespace scrapetrace::report
