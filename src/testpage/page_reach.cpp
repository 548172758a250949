#include "testpage/page_reach.h"

#include <algorithm>

#include "geometry/column_map.h"
#include "geometry/contact.h"
#include "geometry/frames.h"
#include "geometry/zones.h"

namespace scrapetrace::testpage {

namespace {

constexpr double kResidue_mm = 0.5;  // small, but wider than the stride between passes

// Whether residue centred at `x_mm` touches ink between the ends.
bool shows(const Layout& layout, const geometry::ColumnMap& columns, std::size_t carriage, double x_mm,
           const std::array<double, 2>& print_x_mm) {
  const geometry::SheetFromDrum sheet_from_drum(layout);
  for (const bool downstream : {false, true}) {
    const auto touches =
        geometry::count_touches(layout, columns, {carriage, downstream, x_mm - kResidue_mm / 2, kResidue_mm});
    for (std::size_t i = 0; i < touches.n.size(); ++i) {
      const int column = touches.first + static_cast<int>(i);
      if (touches.n[i] == 0 || columns.owner(column).nobody()) continue;
      const double x = sheet_from_drum.sheet_x((column + 0.5) * layout.px_mm());
      if (x > print_x_mm[0] && x < print_x_mm[1]) return true;
    }
  }
  return false;
}

}  // namespace

std::vector<ZoneReach> reach_of_page(const Layout& layout, const std::array<double, 2>& print_x_mm) {
  constexpr int kPlaces = 200;  // samples per zone: half a per cent
  const geometry::ColumnMap columns(layout);
  std::vector<ZoneReach> out;
  for (const auto& zone : geometry::target_zones(layout)) {
    int seen = 0;
    for (int k = 0; k < kPlaces; ++k) {
      const double x = zone.from_mm + (zone.to_mm - zone.from_mm) * (k + 0.5) / kPlaces;
      if (shows(layout, columns, layout.heads[zone.head].carriage, x, print_x_mm)) ++seen;
    }
    out.push_back({zone.head, zone.zone, static_cast<double>(seen) / kPlaces});
  }
  return out;
}

}  // namespace scrapetrace::testpage
