#include "geometry/contact.h"

#include <algorithm>
#include <cmath>

#include "geometry/frames.h"
#include "geometry/travel.h"

namespace scrapetrace::geometry {

bool touches_after_laying(const Layout& layout, std::size_t p, std::size_t q, bool downstream) {
  if (p == q) return downstream;
  return layout.carriages[p].angle_deg < layout.carriages[q].angle_deg;
}

TouchCounts count_touches(const Layout& layout, const ColumnMap& map, const Contact& contact) {
  const double px = layout.px_mm();
  const Travel travel = travel_of(layout, contact.carriage);
  double largest_offset = 0;
  for (const auto& c : layout.carriages) largest_offset = std::max(largest_offset, std::abs(c.offset_mm));

  TouchCounts out;
  const int from = static_cast<int>(std::floor((contact.x_mm - largest_offset) / px)) + travel.low_px - 1;
  const int to = static_cast<int>(std::ceil((contact.x_mm + contact.width_mm + largest_offset) / px)) +
                 travel.high_px + 1;
  out.first = std::max(0, from);
  const int last = std::min(map.columns() - 1, to);
  if (last < out.first) return out;
  out.n.assign(static_cast<std::size_t>(last - out.first + 1), 0);

  std::vector<bool> after(layout.carriages.size());
  for (std::size_t p = 0; p < after.size(); ++p) {
    after[p] = touches_after_laying(layout, p, contact.carriage, contact.downstream);
  }
  for (int c = out.first; c <= last; ++c) {
    const Owner owner = map.owner(c);
    if (owner.nobody()) continue;
    const std::size_t laying = layout.heads[static_cast<std::size_t>(owner.head)].carriage;
    const double x = drum_x_of_column(layout, c, laying) - contact.x_mm;
    int n = 0;
    for (int k = owner.pass; k < layout.passes(); ++k) {
      if (k == owner.pass && !after[laying]) continue;
      const double x_in_contact = x - layout.shift_of(contact.carriage, k) * px;
      if (x_in_contact >= 0 && x_in_contact < contact.width_mm) ++n;
    }
    out.n[static_cast<std::size_t>(c - out.first)] = static_cast<std::uint8_t>(n);
  }
  return out;
}

}  // namespace scrapetrace::geometry
