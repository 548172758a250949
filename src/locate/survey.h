#pragma once
// Where something is wrong on any of several scans, each scan alone and all of them together.

#include <vector>

#include "diagnose/column_evidence.h"
#include "diagnose/scene.h"
#include "geometry/column_map.h"
#include "streak/find_regions.h"

namespace scrapetrace::locate_detail {

// Where something is wrong, left to right in drum millimetres, and what the pages show of each column, with
// their noise.
struct Survey {
  std::vector<streak::Region> regions;
  diagnose::ColumnEvidence evidence;
};

// The same scans as they are, where those that are searched have what was there before taken out, and the
// scans from before: all of them tell of the jets, and faint scrapes are sought there.
struct Since {
  const std::vector<diagnose::PreparedScan>& scans;
  const diagnose::Before& before;
};

// What is faint on every sheet is seen in their mean; what shows on one sheet only (a contact that comes and
// goes) would drown there, so each scan is searched by itself too. Scrapes fainter than the jets' variation
// are sought on the carriages (diagnose/search_carriages.h), of those scans that marks or jets place and no
// coder rounds. Half the false-alarm rate goes to them, and of the rest half to the mean when there are
// several scans. Steps that the layout explains are left out as far as a lossy coder smears them.
Survey survey(const Layout& layout, const geometry::ColumnMap& columns,
              const std::vector<diagnose::PreparedScan>& scans, double false_alarm_rate, int threads,
              const Since* since = nullptr);

// What a print may lie off by where neither marks nor jets place it; steps that the layout explains are left
// out as far. 0 where they do.
double place_play_mm(const diagnose::PreparedScan& scan);

// Whether any patch is solid: tints do not show how wide a line at a seam is.
bool shows_solids(const diagnose::PreparedScan& scan);

// How far beside seams that the layout explains that play, sharpening, coarse coding or want of solids lets
// no streak be told.
double hidden_beside_seams_mm(const diagnose::PreparedScan& scan);

// The drum intervals around those seams.
std::vector<Interval> hidden_seams(const Layout& layout, const geometry::ColumnMap& columns,
                                   const diagnose::PreparedScan& scan);

}  // namespace scrapetrace::locate_detail
