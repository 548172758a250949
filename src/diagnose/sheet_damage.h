#pragma once
// Damage of one sheet (dirt, a hair, a crease, a scratch, writing) against causes that stay: it may have any
// shape, but shows on a part of the sheet, seldom runs straight along it, and comes on no second sheet at the
// same place.

#include <vector>

#include "diagnose/diagnose_region.h"

namespace scrapetrace::diagnose {

// How much of the sheets shows a streak.
struct Extent {
  double shown_mm = 0;   // along the sheet
  double silent_mm = 0;  // where it would show as clearly, and does not
  int sheets = 0;        // that show it clearly
  bool slanted = false;  // it moves across the sheet as it goes along
};

// Of a region and its tracks (region_tracks.h).
Extent extent_of(const std::vector<profile::PreparedScan>& scans, const streak::Region& region,
                 const std::vector<streak::Track>& tracks, bool same_sheet);

// Whether so little of the sheet shows it that nothing which stays is likely to have made it.
bool is_local(const Extent& extent);

// Log odds of damage against a cause that stays and fits as well. `damaged_places`: other such places of the
// page: where there are many, one more is no surprise.
double log_odds_of_damage(const Extent& extent, double damaged_places);

// Gives damage its part of an explanation's probabilities: less where a cause fits to the noise and no plain
// box does, since damage knows nothing of the raster; none of a jet's, whose comb nothing else draws.
void weigh_damage(const Extent& extent, double damaged_places, Explanation& explanation);

}  // namespace scrapetrace::diagnose
