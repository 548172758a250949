#include <algorithm>

#include "geometry/column_map.h"
#include "geometry/frames.h"
#include "layout/zone_overlaps.h"
#include "scrapetrace/layout_description.h"

namespace scrapetrace::layout {

namespace {

Interval sheet_from_drum(const Layout& layout, Interval drum_mm) {
  const geometry::SheetFromDrum map(layout);
  const double a = map.sheet_x(drum_mm.from_mm);
  const double b = map.sheet_x(drum_mm.to_mm);
  return {std::min(a, b), std::max(a, b)};
}

std::vector<HeadDescription> describe_heads(const Layout& layout, const geometry::ColumnMap& map) {
  std::vector<HeadDescription> out;
  for (int c = 0; c < map.columns(); ++c) {
    const auto owner = map.owner(c);
    if (owner.nobody()) continue;
    const auto head = static_cast<std::size_t>(owner.head);
    if (out.empty() || out.back().head != head) out.push_back({head, c, c, {}, {}});
    out.back().last_column = c;
  }
  for (auto& h : out) {
    const double offset_mm = layout.carriages[layout.heads[h.head].carriage].offset_mm;
    h.drum_mm = {h.first_column * layout.px_mm() + offset_mm,
                 (h.last_column + 1) * layout.px_mm() + offset_mm};
    h.sheet_mm = sheet_from_drum(layout, h.drum_mm);
  }
  return out;
}

std::vector<SeamDescription> describe_seams(const Layout& layout, const geometry::ColumnMap& map) {
  const geometry::SheetFromDrum sheet(layout);
  std::vector<SeamDescription> out;
  for (const auto& seam : map.seams()) {
    const double drum_mm = (seam.seam + 1) * layout.px_mm();
    out.push_back(
        {seam.left_head, seam.right_head, seam.from, seam.to, seam.seam, drum_mm, sheet.sheet_x(drum_mm)});
  }
  return out;
}

std::vector<CarriageDescription> describe_carriages(const Layout& layout,
                                                    const std::vector<HeadDescription>& heads) {
  std::vector<CarriageDescription> out;
  for (std::size_t q = 0; q < layout.carriages.size(); ++q) {
    CarriageDescription carriage{q, {}, {}};
    for (int k = 0; k < layout.passes(); ++k) {
      const double s = layout.shift_of(q, k) * layout.px_mm();
      carriage.travel_mm.from_mm = std::min(carriage.travel_mm.from_mm, s);
      carriage.travel_mm.to_mm = std::max(carriage.travel_mm.to_mm, s);
    }
    for (const auto& h : heads) {
      if (layout.heads[h.head].carriage == q) carriage.heads.push_back(h.head);
    }
    out.push_back(std::move(carriage));
  }
  std::stable_sort(out.begin(), out.end(), [&](const auto& a, const auto& b) {
    return layout.carriages[a.carriage].angle_deg < layout.carriages[b.carriage].angle_deg;
  });
  return out;
}

}  // namespace

LayoutDescription describe_layout(const Layout& layout) {
  const geometry::ColumnMap map(layout);
  LayoutDescription out;
  out.heads = describe_heads(layout, map);
  out.seams = describe_seams(layout, map);
  out.carriages = describe_carriages(layout, out.heads);
  out.overlaps = zone_overlaps(layout, map);
  out.drum_columns = map.columns();
  out.first_column = map.printed().first;
  out.last_column = map.printed().last;
  for (const auto& h : out.heads) out.printed_columns += h.last_column - h.first_column + 1;
  out.printed_drum_mm = {out.heads.front().drum_mm.from_mm, out.heads.back().drum_mm.to_mm};
  out.printed_sheet_mm = sheet_from_drum(layout, out.printed_drum_mm);
  return out;
}

}  // namespace scrapetrace::layout
