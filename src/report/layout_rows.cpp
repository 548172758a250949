#include "report/layout_rows.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "geometry/frames.h"
#include "geometry/zones.h"
#include "report/picture_labels.h"
#include "report/picture_style.h"
#include "report/utf8.h"
#include "report/words.h"

namespace scrapetrace::report::picture {

namespace {

constexpr double kRowBox = 40;
constexpr double kZone = 13;
constexpr double kBetween = 22;
constexpr double kSmallest = 4;  // narrower bars would be invisible

struct HeadBox {
  std::size_t head = 0;
  Extent jets;           // canvas x of the outermost jets
  Extent whole;          // including its zones
  std::size_t lane = 0;  // row below another head whose zones it would cover
};

Extent clipped(const DrumScale& scale, double from_mm, double to_mm) {
  return {std::clamp(scale.canvas_x(from_mm), scale.left_px, scale.right_px),
          std::clamp(scale.canvas_x(to_mm), scale.left_px, scale.right_px)};
}

std::vector<HeadBox> boxes_of(const DrumScale& scale, const Layout& layout, const CarriageDescription& row) {
  std::vector<HeadBox> boxes;
  for (const std::size_t h : row.heads) {
    const Head& head = layout.heads[h];
    const Extent jets = clipped(scale, geometry::outermost_jet_mm(layout, head, Side::left),
                                geometry::outermost_jet_mm(layout, head, Side::right));
    boxes.push_back({h, jets, jets, 0});
  }
  for (const auto& zone : geometry::target_zones(layout)) {
    for (auto& box : boxes) {
      if (box.head != zone.head) continue;
      const Extent extent = clipped(scale, zone.from_mm, zone.to_mm);
      box.whole = {std::min(box.whole.from, extent.from), std::max(box.whole.to, extent.to)};
    }
  }
  std::vector<Extent> extents;
  for (const auto& box : boxes) extents.push_back(box.whole);
  const auto lane = lanes(extents, 2);
  for (std::size_t i = 0; i < boxes.size(); ++i) boxes[i].lane = lane[i];
  return boxes;
}

double lane_height(const Layout& layout) {
  return kRowBox + 11 + static_cast<double>(surfaces_of(layout).size()) * kZone;
}

double height_of(const Layout& layout, const std::vector<HeadBox>& boxes) {
  std::size_t lanes_used = 1;
  for (const auto& box : boxes) lanes_used = std::max(lanes_used, box.lane + 1);
  return static_cast<double>(lanes_used) * lane_height(layout) + kBetween;
}

void draw_box(Svg& svg, const Layout& layout, const HeadBox& box, double top) {
  const Head& head = layout.heads[box.head];
  const double width = box.jets.to - box.jets.from;
  svg.rect(box.jets.from, top, width, kRowBox, kHead, {kInk, 1.5, {}});
  const Font name{17, true, Anchor::middle, kInk};
  const Font side{12, false, Anchor::start, kInk};
  const bool roomy = width > 170;
  const double ends = 2 * (text_width(roomy ? "right" : "R", side) + 8);
  const std::string words = (roomy ? "head " : "") + head.name;
  if (text_width(words, name) <= width - ends) {
    svg.text(box.jets.from + width / 2, top + 26, words, name);
  } else {
    svg.text(box.jets.to + 6, top + 26, fitted(words, name, 160), {17, true, Anchor::start, kInk});
  }
  for (const Side stencilled : {Side::left, Side::right}) {
    const bool at_start = geometry::drum_side(head, stencilled) == Side::left;
    const std::string_view word = stencilled == Side::left ? (roomy ? "left" : "L") : (roomy ? "right" : "R");
    if (width < ends) continue;
    svg.text(at_start ? box.jets.from + 5 : box.jets.to - 5, top + 25, word,
             {12, false, at_start ? Anchor::start : Anchor::end, kInk});
  }
}

void draw_zones(Svg& svg, const DrumScale& scale, const Layout& layout, std::size_t head, double top) {
  const auto surfaces = surfaces_of(layout);
  for (const auto& zone : geometry::target_zones(layout)) {
    if (zone.head != head) continue;
    const auto surface = static_cast<std::size_t>(
        std::find(surfaces.begin(), surfaces.end(), layout.zones[zone.zone].surface) - surfaces.begin());
    const Extent extent = clipped(scale, zone.from_mm, zone.to_mm);
    svg.rect(extent.from, top + static_cast<double>(surface) * kZone,
             std::max(extent.to - extent.from, kSmallest), kZone - 3, surface_fill(surface), {kInk, 1, {}});
  }
}

// To scale, from home to the end of the travel, beside the labels.
void draw_travel(Svg& svg, const DrumScale& scale, const CarriageDescription& row, double y) {
  const double to_right = row.travel_mm.to_mm;
  const double to_left = row.travel_mm.from_mm;
  const bool rightward = to_right >= -to_left;
  if (to_right == 0 && to_left == 0) {
    svg.text(kLabelsLeft, y + 4, "does not travel", {12, false, Anchor::start, kInk});
    return;
  }
  const double length = std::max(8.0, (rightward ? to_right : -to_left) * scale.px_per_mm);
  const double from = kLabelsLeft + (rightward ? 0 : length);
  const double to = kLabelsLeft + (rightward ? length : 0);
  const double back = rightward ? -6 : 6;
  svg.line(from, y, to, y, {kInk, 1.5, {}});
  svg.line(from, y - 5, from, y + 5, {kInk, 1.5, {}});
  svg.polygon(svg_point(to, y) + svg_point(to + back, y - 5) + svg_point(to + back, y + 5), kInk);
  svg.text(kLabelsLeft + length + 8, y + 4,
           fmt::format("{} mm to the {}", decimals(rightward ? to_right : -to_left, 2),
                       rightward ? "right" : "left"),
           {12, false, Anchor::start, kInk});
}

void draw_words(Svg& svg, const DrumScale& scale, const Layout& layout, const CarriageDescription& row,
                std::size_t order, double top) {
  const Carriage& carriage = layout.carriages[row.carriage];
  const Font name{15, true, Anchor::start, kInk};
  const double width = scale.left_px - kLabelsLeft - 12;
  svg.text(kLabelsLeft, top + 14, fitted(fmt::format("{}. {}", order, carriage.name), name, width), name);
  std::string angle = fmt::format("at {} deg", decimals(carriage.angle_deg, 1));
  if (carriage.offset_mm != 0) angle += fmt::format(", off by {} mm", decimals(carriage.offset_mm, 2));
  svg.text(kLabelsLeft, top + 31, angle, {12, false, Anchor::start, kInk});
  draw_travel(svg, scale, row, top + 46);
}

std::string pattern(std::size_t surface, std::string_view marks) {
  return fmt::format(
      "<pattern id=\"surface{}\" width=\"8\" height=\"8\" patternUnits=\"userSpaceOnUse\"><rect width=\"8\" "
      "height=\"8\" fill=\"#ffffff\"/><g stroke=\"#1c2733\" stroke-width=\"1.2\" "
      "fill=\"none\">{}</g></pattern>",
      surface, marks);
}

constexpr std::array<std::string_view, 5> kMarks{
    "<path d=\"M-2 2L2 -2M0 8L8 0M6 10L10 6\"/>",                                    // rising lines
    "<path d=\"M2 2h0.1M6 6h0.1\" stroke-width=\"2.6\" stroke-linecap=\"round\"/>",  // dots
    "<path d=\"M2 0V8M6 0V8\"/>",                                                    // upright lines
    "<path d=\"M0 0L8 8M0 8L8 0\"/>",                                                // crosses
    "",                                                                              // plain
};

}  // namespace

std::string surface_defs() {
  std::string out;
  for (std::size_t i = 0; i < kMarks.size(); ++i) out += pattern(i, kMarks[i]);
  return out;
}

std::string_view surface_fill(std::size_t surface) {
  static constexpr std::array<std::string_view, kMarks.size()> kFills{
      "url(#surface0)", "url(#surface1)", "url(#surface2)", "url(#surface3)", "url(#surface4)"};
  return kFills[std::min(surface, kFills.size() - 1)];
}

std::vector<std::string> surfaces_of(const Layout& layout) {
  std::vector<std::string> out;
  for (const Zone& zone : layout.zones) {
    if (std::find(out.begin(), out.end(), zone.surface) == out.end()) out.push_back(zone.surface);
  }
  return out;
}

std::string fitted(const std::string& text, const Font& font, double width) {
  if (text_width(text, font) <= width) return text;
  std::string out;
  for (std::string_view rest = text; !rest.empty();) {
    const std::size_t length = std::max<std::size_t>(1, utf8_length(rest));
    if (text_width(out + std::string(rest.substr(0, length)) + "..", font) > width) break;
    out += rest.substr(0, length);
    rest.remove_prefix(length);
  }
  return out.empty() ? out : out + "..";
}

double carriages_height(const DrumScale& scale, const Layout& layout, const LayoutDescription& description) {
  double height = 0;
  for (const auto& row : description.carriages) height += height_of(layout, boxes_of(scale, layout, row));
  return height;
}

double draw_carriages(Svg& svg, const DrumScale& scale, const Layout& layout,
                      const LayoutDescription& description, double top) {
  std::size_t order = 0;
  for (const auto& row : description.carriages) {
    draw_words(svg, scale, layout, row, ++order, top);
    const auto boxes = boxes_of(scale, layout, row);
    for (const auto& box : boxes) {
      const double y = top + static_cast<double>(box.lane) * lane_height(layout);
      draw_box(svg, layout, box, y);
      draw_zones(svg, scale, layout, box.head, y + kRowBox + 5);
    }
    top += height_of(layout, boxes);
    svg.line(kLabelsLeft, top - kBetween / 2, scale.right_px, top - kBetween / 2, {picture::kRule, 1, {}});
  }
  return top;
}

}  // namespace scrapetrace::report::picture
