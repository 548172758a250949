#pragma once
// Stretches of the drum where something is wrong: detections of all signals of a scan, merged.

#include <vector>

#include "profile/ink_view.h"
#include "streak/box_search.h"

namespace scrapetrace::streak {

struct Region {
  Interval x_mm;           // drum, what the detections cover
  double z = 0;            // of the strongest detection
  bool ink_lost = false;   // seen as missing ink
  bool ink_added = false;  // seen as ink on bare paper
};

struct RegionOptions {
  double false_alarm_rate = 0.01;  // expected false regions per page
  double narrowest_mm = 0.1;
  double widest_mm = 15.0;
  int threads = 1;            // to search on; what is found does not depend on it
  double merge_gap_mm = 0.6;  // closer detections are one region
  double tail = 1;            // factor on all thresholds, where noise has heavier tails than its spread tells
};

// Searches the mean over all inks, each ink, each patch, and the bare paper (for added ink). The false-alarm
// rate is shared out evenly over all independent cells of all searches.
// `known_mm` are drum intervals where the layout itself leaves a step (seams between carriages that stand
// off): narrow features there are no finding and are bridged.
std::vector<Region> find_regions(const profile::Strips& strips, const profile::InkViews& views,
                                 const std::vector<Interval>& known_mm, const RegionOptions& options);

// Where more ink lies than beside it, in the mean over all inks: looked for at the places of `where_mm` only.
// Such regions are neither ink_lost nor ink_added.
std::vector<Region> find_denser(const profile::Strips& strips, const profile::InkViews& views,
                                const std::vector<Interval>& where_mm, const RegionOptions& options);

// Where the other regions are that do not meet the one at `index`.
std::vector<Interval> apart_from(const std::vector<Region>& regions, std::size_t index);

// Merges overlapping regions (closer than gap_mm), left to right.
std::vector<Region> merge_regions(std::vector<Region> regions, double gap_mm);

}  // namespace scrapetrace::streak
