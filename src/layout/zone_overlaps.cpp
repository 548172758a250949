#include "layout/zone_overlaps.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <tuple>

#include "geometry/contact.h"
#include "geometry/zones.h"

namespace scrapetrace::layout {

namespace {

constexpr double kOverlapTouchMm = 1e-6;  // zones that only touch share nothing

// Carriages that lay any column which residue in `drum_mm` reaches during its travel.
std::vector<std::size_t> laying_carriages(const Layout& layout, const geometry::ColumnMap& map,
                                          Interval drum_mm) {
  int reach = 0;
  for (const int shift : layout.interleave.shift_px) reach = std::max(reach, std::abs(shift));
  double largest_offset_mm = 0;
  for (const auto& carriage : layout.carriages) {
    largest_offset_mm = std::max(largest_offset_mm, std::abs(carriage.offset_mm));
  }
  const double px = layout.px_mm();
  const int from = static_cast<int>(std::floor((drum_mm.from_mm - largest_offset_mm) / px)) - reach;
  const int to = static_cast<int>(std::ceil((drum_mm.to_mm + largest_offset_mm) / px)) + reach;
  std::vector<std::size_t> out;
  for (int c = std::max(0, from); c <= std::min(to, map.columns() - 1); ++c) {
    const auto owner = map.owner(c);
    if (owner.nobody()) continue;
    const std::size_t carriage = layout.heads[static_cast<std::size_t>(owner.head)].carriage;
    if (std::find(out.begin(), out.end(), carriage) == out.end()) out.push_back(carriage);
  }
  return out;
}

// Two contacts at one place with one travel meet every column in the same passes; they differ only in whether
// the pass that lays the column counts.
std::vector<std::pair<bool, bool>> alike_contacts(const Layout& layout,
                                                  const std::vector<std::size_t>& laying,
                                                  std::size_t carriage_a, std::size_t carriage_b) {
  std::vector<std::pair<bool, bool>> out;
  for (const bool down_a : {false, true}) {
    for (const bool down_b : {false, true}) {
      const bool alike = std::all_of(laying.begin(), laying.end(), [&](std::size_t p) {
        return geometry::touches_after_laying(layout, p, carriage_a, down_a) ==
               geometry::touches_after_laying(layout, p, carriage_b, down_b);
      });
      if (alike) out.emplace_back(down_a, down_b);
    }
  }
  return out;
}

bool same_displacements(const Layout& layout, std::size_t a, std::size_t b) {
  for (int k = 0; k < layout.passes(); ++k) {
    if (layout.shift_of(a, k) != layout.shift_of(b, k)) return false;
  }
  return true;
}

}  // namespace

std::vector<ZoneOverlap> zone_overlaps(const Layout& layout, const geometry::ColumnMap& map) {
  auto zones = geometry::target_zones(layout);
  std::stable_sort(zones.begin(), zones.end(),
                   [](const auto& a, const auto& b) { return a.from_mm < b.from_mm; });
  std::vector<ZoneOverlap> out;
  for (std::size_t i = 0; i < zones.size(); ++i) {
    for (std::size_t j = i + 1; j < zones.size() && zones[j].from_mm < zones[i].to_mm - kOverlapTouchMm;
         ++j) {
      const Interval shared{zones[j].from_mm, std::min(zones[i].to_mm, zones[j].to_mm)};
      const bool in_order =
          layout.heads[zones[i].head].first_jet_px <= layout.heads[zones[j].head].first_jet_px;
      const auto& a = in_order ? zones[i] : zones[j];
      const auto& b = in_order ? zones[j] : zones[i];
      ZoneOverlap overlap{a.head, a.zone, b.head, b.zone, shared, false, false, {}};
      const std::size_t on_a = layout.heads[a.head].carriage;
      const std::size_t on_b = layout.heads[b.head].carriage;
      overlap.same_carriage = on_a == on_b;
      overlap.same_travel = same_displacements(layout, on_a, on_b);
      if (overlap.same_travel) {
        overlap.alike = alike_contacts(layout, laying_carriages(layout, map, overlap.drum_mm), on_a, on_b);
      }
      out.push_back(std::move(overlap));
    }
  }
  std::stable_sort(out.begin(), out.end(), [](const ZoneOverlap& a, const ZoneOverlap& b) {
    return std::tie(a.drum_mm.from_mm, a.drum_mm.to_mm) < std::tie(b.drum_mm.from_mm, b.drum_mm.to_mm);
  });
  return out;
}

}  // namespace scrapetrace::layout
