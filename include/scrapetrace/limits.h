#pragma once
// What a print may show and still pass: read from a limits file (docs/formats.md). A limit that is not set is
// not judged.

#include <optional>
#include <string>

#include "scrapetrace/sight.h"

namespace scrapetrace {

struct Limits {
  std::string name;
  // Standard deviations that must lie between a measured value and its limit for a verdict; closer, it cannot
  // be judged (guarded acceptance and rejection as in JCGM 106:2012, 8.3). 1.64: one-sided 95 %.
  double guard = 1.64;

  std::optional<double> loss_max;      // mean fraction of ink missing across a streak
  std::optional<double> width_max_mm;  // on the sheet
  std::optional<int> number_max;       // of streaks on all sheets together
  double seen_from_mm = 1.0;           // a streak this wide at loss_max must be within the scans' sight

  std::optional<double> delta_e_max;  // CIEDE2000 of a streak, weighted with contrast sensitivity
  double viewing_distance_mm = kReadingDistance_mm;
  double luminance_cd_m2 = kReadingLuminance_cd_m2;

  std::optional<int> dead_max_per_head;  // jets
  double dead_from_loss = 0.5;           // a jet that lacks more of its ink counts as dead

  std::optional<int> lost_max;  // jets that a scan from before the work shows printing, and today's do not

  std::optional<int> sides_max;  // (head, side) pairs with a part that no scan showed
};

}  // namespace scrapetrace
