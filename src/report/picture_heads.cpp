// The carriages below the page and the targets on them.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/zones.h"
#include "report/picture_labels.h"
#include "report/picture_parts.h"
#include "report/words.h"

namespace scrapetrace::report::picture {

namespace {

constexpr std::size_t kMostTargets = 6;
constexpr double kWorthDrawing = 0.01;
constexpr double kTitle = 22;
constexpr double kLane = 36;
constexpr double kBox = 46;
constexpr double kStep = 50;  // vertical offset of overlapping heads of one carriage
constexpr double kBetweenRows = 14;

struct Flag {
  const Target* target = nullptr;
  std::size_t rank = 0;
  Extent zone;
  double spot = 0;  // expected place of the residue
  std::string label;
  Extent label_at;
  double lane_y = 0;
};

const char* jets_label(const Target& target) {
  if (target.never_scrape()) return " JETS: NEVER SCRAPE";
  return target.over_jets ? " PARTLY JETS: TAKE CARE" : "";
}

Font flag_font(const Flag& flag) {
  return {14, flag.rank == 1, Anchor::middle, flag.rank == 1 ? kFirst : kInk};
}

Extent zone_of(const Frame& frame, const Layout& layout, const Target& target) {
  Extent out{frame.right_px, frame.left_px};
  for (const auto& zone : geometry::target_zones(layout)) {
    if (layout.heads[zone.head].name != target.head || layout.zones[zone.zone].side != target.side ||
        layout.zones[zone.zone].surface != target.surface) {
      continue;
    }
    const double a = frame.canvas_from_drum(zone.from_mm);
    const double b = frame.canvas_from_drum(zone.to_mm);
    out = {std::min({out.from, a, b}), std::max({out.to, a, b})};
  }
  return out;
}

void place_label(const Frame& frame, Flag& flag) {
  const double half = text_width(flag.label, flag_font(flag)) / 2;
  const double centre = std::clamp((flag.zone.from + flag.zone.to) / 2, frame.left_px + half,
                                   std::max(frame.left_px + half, frame.right_px - half));
  flag.label_at = {centre - half, centre + half};
}

std::vector<Flag> flags_of(const Frame& frame, const Layout& layout, const Findings& findings,
                           std::size_t carriage) {
  std::vector<Flag> flags;
  const std::size_t most = std::min(kMostTargets, findings.targets.size());
  for (std::size_t i = 0; i < most; ++i) {
    const Target& target = findings.targets[i];
    const bool here = std::any_of(layout.heads.begin(), layout.heads.end(), [&](const Head& head) {
      return head.name == target.head && head.carriage == carriage;
    });
    if (!here || target.probability < kWorthDrawing) continue;
    Flag flag{&target, i + 1, zone_of(frame, layout, target), frame.canvas_from_drum(target.x_drum_mm), "",
              {},      0};
    flag.label = fmt::format("#{} head {} {}, {} {}{}", flag.rank, target.head, to_string(target.side),
                             target.surface, percent(target.probability), jets_label(target));
    place_label(frame, flag);
    flags.push_back(std::move(flag));
  }
  return flags;
}

// Assigns lanes from `top` down, the first nearest to the heads; returns their number.
std::size_t stack(std::vector<Flag>& flags, double top) {
  std::vector<Extent> extents;
  for (const Flag& flag : flags) {
    extents.push_back(
        {std::min(flag.zone.from, flag.label_at.from), std::max(flag.zone.to, flag.label_at.to)});
  }
  const auto lane = lanes(extents, 8);
  std::size_t used = 0;
  for (const std::size_t i : lane) used = std::max(used, i + 1);
  for (std::size_t i = 0; i < flags.size(); ++i) {
    flags[i].lane_y = top + static_cast<double>(used - 1 - lane[i]) * kLane;
  }
  return used;
}

// Streaks of the targets on a head, each once.
std::vector<std::size_t> streaks_of(const Findings& findings, const Head& head) {
  std::vector<std::size_t> out;
  for (const Target& target : findings.targets) {
    if (target.head != head.name || target.probability < kWorthDrawing) continue;
    out.insert(out.end(), target.streaks.begin(), target.streaks.end());
  }
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end()), out.end());
  return out;
}

void draw_lead(Svg& svg, const Frame& frame, const Findings& findings, const Flag& flag, double page_bottom) {
  const bool first = flag.rank == 1;
  for (const Streak& streak : findings.streaks) {
    const auto& ids = flag.target->streaks;
    if (std::find(ids.begin(), ids.end(), streak.id) == ids.end()) continue;
    svg.open_group("lead " + streak_classes({streak.id}));
    svg.line(frame.canvas_x(streak.x_sheet_mm), page_bottom + 10, flag.spot, flag.lane_y + 20,
             {first ? kFirst : kInk, first ? 2.2 : 1.2, first ? "" : "5,4"});
    svg.close_group();
  }
}

void open_flag(Svg& svg, const Frame& frame, const Flag& flag) {
  const std::string names = "hot " + streak_classes(flag.target->streaks);
  if (!frame.in_page) return svg.open_group(names);
  svg.open_link(names, fmt::format("#target-{}", flag.rank), "target " + flag.label);
}

void draw_flag(Svg& svg, const Frame& frame, const Flag& flag, double boxes_top) {
  const bool first = flag.rank == 1;
  open_flag(svg, frame, flag);
  const double y = flag.lane_y + 20;
  const Font font = flag_font(flag);
  svg.rect(flag.label_at.from - 3, flag.lane_y, flag.label_at.to - flag.label_at.from + 6, 18, kBackground);
  svg.text((flag.label_at.from + flag.label_at.to) / 2, flag.lane_y + 14, flag.label, font);
  for (const double end : {flag.zone.from, flag.zone.to}) svg.line(end, y, end, boxes_top, {kRule, 1, "2,3"});
  svg.rect(flag.zone.from, y, flag.zone.to - flag.zone.from, 10, first ? kFirst : kPaper,
           {first ? kFirst : kInk, 1.5});
  svg.polygon(svg_point(flag.spot, y - 2) + svg_point(flag.spot + 6, y + 5) + svg_point(flag.spot, y + 12) +
                  svg_point(flag.spot - 6, y + 5),
              first ? kPaper : kInk, {kInk, 1.2});
  const double from = std::min(flag.label_at.from, flag.zone.from) - 6;
  const double to = std::max(flag.label_at.to, flag.zone.to) + 6;
  draw_halo(svg, from, flag.lane_y - 2, to - from, 36);
  frame.in_page ? svg.close_link() : svg.close_group();
}

double end_of(const Frame& frame, const Layout& layout, const Head& head, Side stencilled) {
  return frame.canvas_from_drum(
      geometry::outermost_jet_mm(layout, head, geometry::drum_side(head, stencilled)));
}

// Labels at both ends are the stencilled ones, whichever way round the head is mounted.
void draw_head(Svg& svg, const Frame& frame, const Layout& layout, const Head& head,
               const std::vector<std::size_t>& streaks, double top) {
  const double left_end = end_of(frame, layout, head, Side::left);
  const double right_end = end_of(frame, layout, head, Side::right);
  const double from = std::min(left_end, right_end);
  const double width = std::abs(right_end - left_end);
  svg.open_group("hot head " + streak_classes(streaks));
  svg.rect(from, top, width, kBox, kHead, {kInk, 1.5});
  const bool roomy = width > 170;
  svg.text(from + width / 2, top + 30, (roomy ? "head " : "") + head.name, {20, true, Anchor::middle, kInk});
  for (const Side side : {Side::left, Side::right}) {
    const bool at_start = (side == Side::left) == (left_end < right_end);
    const std::string_view word = side == Side::left ? (roomy ? "left" : "L") : (roomy ? "right" : "R");
    svg.text(at_start ? from + 6 : from + width - 6, top + 28, word,
             {13, false, at_start ? Anchor::start : Anchor::end, kInk});
  }
  draw_halo(svg, from - 3, top - 3, width + 6, kBox + 6);
  svg.close_group();
}

void hatch_unchecked(Svg& svg, const Frame& frame, const Findings& findings, double bottom) {
  for (const Unchecked& gap : findings.unchecked) {
    const double a = frame.canvas_from_drum(gap.x_drum_mm.from_mm);
    const double b = frame.canvas_from_drum(gap.x_drum_mm.to_mm);
    const double from = std::max(std::min(a, b), frame.left_px);
    const double to = std::min(std::max(a, b), frame.right_px);
    if (to > from) svg.rect(from, bottom - 12, to - from, 12, kHatch);
  }
}

struct Row {
  std::vector<Flag> flags;
  std::vector<const Head*> heads;
  std::vector<std::size_t> depth;  // offset level per head, since heads of one carriage may overlap
  double top = 0;
  double boxes_top = 0;
  double bottom = 0;
};

void place_heads(const Frame& frame, const Layout& layout, std::size_t carriage, Row& row) {
  std::vector<Extent> boxes;
  for (const Head& head : layout.heads) {
    if (head.carriage != carriage) continue;
    const double left = end_of(frame, layout, head, Side::left);
    const double right = end_of(frame, layout, head, Side::right);
    row.heads.push_back(&head);
    boxes.push_back({std::min(left, right), std::max(left, right)});
  }
  row.depth = lanes(boxes, 0);
}

std::vector<Row> rows_of(const Frame& frame, const Layout& layout, const Findings& findings, double top) {
  std::vector<Row> rows;
  for (std::size_t carriage = 0; carriage < layout.carriages.size(); ++carriage) {
    Row row;
    row.flags = flags_of(frame, layout, findings, carriage);
    row.top = top;
    row.boxes_top = top + kTitle + static_cast<double>(stack(row.flags, top + kTitle)) * kLane;
    place_heads(frame, layout, carriage, row);
    const std::size_t deepest = row.depth.empty() ? 0 : *std::max_element(row.depth.begin(), row.depth.end());
    row.bottom = row.boxes_top + kBox + static_cast<double>(deepest) * kStep;
    top = row.bottom + kBetweenRows;
    rows.push_back(std::move(row));
  }
  return rows;
}

}  // namespace

double draw_heads(Svg& svg, const Frame& frame, const Layout& layout, const Findings& findings,
                  double page_bottom, double top) {
  const auto rows = rows_of(frame, layout, findings, top);
  for (const Row& row : rows) {
    for (const Flag& flag : row.flags) draw_lead(svg, frame, findings, flag, page_bottom);
  }
  for (std::size_t carriage = 0; carriage < rows.size(); ++carriage) {
    const Row& row = rows[carriage];
    svg.text(frame.left_px, row.top + 15, fmt::format("carriage {}", layout.carriages[carriage].name),
             {13, false, Anchor::start, kMuted});
    for (std::size_t i = 0; i < row.heads.size(); ++i) {
      draw_head(svg, frame, layout, *row.heads[i], streaks_of(findings, *row.heads[i]),
                row.boxes_top + static_cast<double>(row.depth[i]) * kStep);
    }
    hatch_unchecked(svg, frame, findings, row.bottom);
    for (const Flag& flag : row.flags) draw_flag(svg, frame, flag, row.boxes_top);
  }
  return rows.empty() ? top : rows.back().bottom + kBetweenRows;
}

}  // namespace scrapetrace::report::picture
