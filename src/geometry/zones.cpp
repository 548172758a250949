#include "geometry/zones.h"

#include <algorithm>

#include "geometry/frames.h"

namespace scrapetrace::geometry {

std::vector<TargetZone> target_zones(const Layout& layout) {
  double total = 0;
  for (const auto& zone : layout.zones) total += zone.prior;
  total *= static_cast<double>(layout.heads.size());
  std::vector<TargetZone> out;
  for (std::size_t h = 0; h < layout.heads.size(); ++h) {
    for (std::size_t z = 0; z < layout.zones.size(); ++z) {
      const Zone& zone = layout.zones[z];
      const double a = drum_from_outward(layout, layout.heads[h], zone.side, zone.from_mm);
      const double b = drum_from_outward(layout, layout.heads[h], zone.side, zone.to_mm);
      const double length = std::max(a, b) - std::min(a, b);
      const double density = total > 0 && length > 0 ? zone.prior / (total * length) : 0;
      out.push_back({h, z, std::min(a, b), std::max(a, b), density});
    }
  }
  return out;
}

}  // namespace scrapetrace::geometry
