#include <algorithm>

#include "geometry/zones.h"
#include "recheck/update_targets.h"

namespace scrapetrace {

Place place_of(const Layout& layout, const Streak& streak) {
  const double half = 0.5 * streak.width_mm / layout.transfer.scale_cross;
  Place place;
  place.x_drum_mm = {streak.x_drum_mm - half, streak.x_drum_mm + half};
  place.added = streak.loss < 0;
  if (place.added) return place;  // haze shows on any bare paper
  place.y_sheet_mm = streak.y_sheet_mm;
  place.inks = streak.inks;
  return place;
}

std::vector<Place> white_places(const Layout& layout, const std::vector<Cleaned>& cleaned) {
  std::vector<Place> places;
  for (const auto& zone : geometry::target_zones(layout)) {
    const Zone& what = layout.zones[zone.zone];
    if (!recheck_detail::is_cleaned({layout.heads[zone.head].name, what.side, what.surface, 0}, cleaned))
      continue;
    Place place;
    place.x_drum_mm = {zone.from_mm, zone.to_mm};
    place.added = true;
    places.push_back(std::move(place));
  }
  return places;
}

}  // namespace scrapetrace
