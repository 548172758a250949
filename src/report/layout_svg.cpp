#include "report/layout_svg.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/zones.h"
#include "report/layout_rows.h"
#include "report/overlap_words.h"
#include "report/picture_labels.h"
#include "report/picture_style.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

using namespace picture;

constexpr double kDrawingWidth = 1400;
constexpr double kRowsLeft = 210;
constexpr double kDrawingMargin = 24;
constexpr double kMostBesideMm = 40;  // of zones beside the drum that are still drawn
constexpr std::size_t kMostShared = 24;
const Font kSmall{12, false, Anchor::middle, kInk};
const Font kNote{13, false, Anchor::start, kInk};

DrumScale scale_for(const Layout& layout) {
  double from = 0;
  double to = layout.drum.width_mm;
  for (const auto& zone : geometry::target_zones(layout)) {
    from = std::min(from, zone.from_mm);
    to = std::max(to, zone.to_mm);
  }
  from = std::max(from, -kMostBesideMm) - 2;
  to = std::min(to, layout.drum.width_mm + kMostBesideMm) + 2;
  return {kRowsLeft, kDrawingWidth - kDrawingMargin, from,
          (kDrawingWidth - kDrawingMargin - kRowsLeft) / (to - from)};
}

// The least of 1, 2, 5, 10, 20, ... mm that is at least `px` wide.
double step_mm(const DrumScale& scale, double px) {
  double step = 1;
  for (int i = 0; step * scale.px_per_mm < px; ++i) step *= i % 3 == 1 ? 2.5 : 2;
  return step;
}

double draw_axis(Svg& svg, const DrumScale& scale, const Layout& layout, const LayoutDescription& d,
                 double top) {
  const double label_mm = step_mm(scale, 60);
  const double tick_mm = label_mm / 5;
  for (int i = 0; i * tick_mm <= layout.drum.width_mm + 1e-9; ++i) {
    const double x = scale.canvas_x(i * tick_mm);
    const bool labelled = i % 5 == 0;
    svg.line(x, top + 26 - (labelled ? 10 : 5), x, top + 26, {kInk, 1, {}});
    if (labelled) svg.text(x, top + 12, decimals(i * tick_mm, label_mm < 5 ? 1 : 0), kSmall);
  }
  svg.text(kLabelsLeft, top + 24, "drum X, mm", kNote);
  svg.rect(scale.canvas_x(0), top + 26, layout.drum.width_mm * scale.px_per_mm, 16, kPaper, {kInk, 1.5, {}});
  svg.text(kLabelsLeft, top + 39, "drum; printed grey", kNote);
  svg.rect(scale.canvas_x(d.printed_drum_mm.from_mm), top + 27.5,
           (d.printed_drum_mm.to_mm - d.printed_drum_mm.from_mm) * scale.px_per_mm, 13, picture::kRule);
  return top + 58;
}

double draw_seams(Svg& svg, const DrumScale& scale, const Layout& layout, const LayoutDescription& d,
                  double from, double to) {
  svg.text(kLabelsLeft, to + 16, "seams: dashed", kNote);
  std::vector<Extent> extents;
  std::vector<std::string> labels;
  for (const auto& seam : d.seams) {
    labels.push_back(fmt::format("{} | {} at {} mm", layout.heads[seam.left_head].name,
                                 layout.heads[seam.right_head].name, decimals(seam.drum_mm, 2)));
    const double half = text_width(labels.back(), kSmall) / 2;
    const double x = scale.canvas_x(seam.drum_mm);
    extents.push_back({x - half, x + half});
  }
  const auto lane = lanes(extents, 8);
  std::size_t used = 1;
  for (std::size_t i = 0; i < labels.size(); ++i) {
    const double x = scale.canvas_x(d.seams[i].drum_mm);
    const double y = to + static_cast<double>(lane[i]) * 17;
    svg.line(x, from, x, y + 3, {kFirst, 1.2, "6,4"});
    svg.text(x, y + 16, labels[i], kSmall);
    used = std::max(used, lane[i] + 1);
  }
  return to + static_cast<double>(used) * 17 + 14;
}

double draw_shared(Svg& svg, const DrumScale& scale, const Layout& layout, const LayoutDescription& d,
                   double top) {
  if (d.overlaps.empty()) {
    svg.text(kLabelsLeft, top + 13, "No two targets lie over the same part of the drum.", kNote);
    return top + 24;
  }
  const std::size_t shown = std::min(kMostShared, d.overlaps.size());
  svg.text(kLabelsLeft, top + 13, "two targets at one place", kNote);
  std::vector<Extent> extents;
  for (std::size_t i = 0; i < shown; ++i) {
    const auto& mm = d.overlaps[i].drum_mm;
    extents.push_back({scale.canvas_x(mm.from_mm) - 20, scale.canvas_x(mm.to_mm)});
  }
  const auto lane = lanes(extents, 4);
  std::size_t used = 0;
  for (std::size_t i = 0; i < shown; ++i) {
    const double y = top + static_cast<double>(lane[i]) * 20;
    svg.rect(extents[i].from + 20, y, std::max(extents[i].to - extents[i].from - 20, 3.0), 14,
             d.overlaps[i].same_carriage ? kInk : kPaper, {kInk, 1.5, {}});
    svg.text(extents[i].from + 16, y + 12, std::to_string(i + 1), {12, true, Anchor::end, kInk});
    used = std::max(used, lane[i] + 1);
  }
  double y = top + static_cast<double>(used) * 20 + 18;
  for (std::size_t i = 0; i < shown; ++i) {
    const auto& o = d.overlaps[i];
    svg.text(kLabelsLeft, y,
             fmt::format("{}: {} and {}, X {} to {} mm. Told apart? {}", i + 1,
                         short_place(layout, o.head_a, o.zone_a), short_place(layout, o.head_b, o.zone_b),
                         decimals(o.drum_mm.from_mm, 1), decimals(o.drum_mm.to_mm, 1),
                         tell_apart_words(layout, o)),
             kNote);
    y += 18;
  }
  if (shown < d.overlaps.size()) {
    svg.text(kLabelsLeft, y, fmt::format("and {} more", d.overlaps.size() - shown), kNote);
    y += 18;
  }
  svg.text(kLabelsLeft, y,
           "Black: on one carriage, never told apart. up, down: residue that touches just upstream or just "
           "downstream "
           "of its own carriage's jets.",
           kNote);
  return y + 12;
}

double draw_legend(Svg& svg, const Layout& layout, double top) {
  double x = kLabelsLeft;
  const auto surfaces = surfaces_of(layout);
  for (std::size_t i = 0; i < surfaces.size(); ++i) {
    const std::string words = fitted(surfaces[i], kNote, 300);
    const double width = 46 + text_width(words, kNote);
    if (x + width > kDrawingWidth - kDrawingMargin) {
      x = kLabelsLeft;
      top += 20;
    }
    svg.rect(x, top, 30, 12, surface_fill(i), {kInk, 1, {}});
    svg.text(x + 36, top + 11, words, kNote);
    x += width + 12;
  }
  return top + 30;
}

}  // namespace

std::string layout_svg(const Layout& layout, const LayoutDescription& d, const std::string& origin) {
  Svg svg;
  const DrumScale scale = scale_for(layout);
  svg.text(kLabelsLeft, 40,
           fitted(layout.name, {24, true, Anchor::start, kInk}, kDrawingWidth - 2 * kDrawingMargin),
           {24, true, Anchor::start, kInk});
  svg.text(kLabelsLeft, 62,
           fmt::format(
               "Seen facing the faceplates, carriages at home, to scale across. Top to bottom: the order of "
               "events in a pass; passes: {}.",
               layout.passes()),
           kNote);
  const double legend_end = draw_legend(svg, layout, 78);
  const double axis_end = draw_axis(svg, scale, layout, d, legend_end);
  const double rows_end = axis_end + carriages_height(scale, layout, d);
  const double seams_end = draw_seams(svg, scale, layout, d, axis_end - 16, rows_end - 6);
  draw_carriages(svg, scale, layout, d, axis_end);
  const double end = draw_shared(svg, scale, layout, d, seams_end);
  svg.text(kLabelsLeft, end + 12, origin, kNote);
  return std::move(svg).finish(kDrawingWidth, end + 30, kBackground, surface_defs());
}

}  // namespace scrapetrace::report
