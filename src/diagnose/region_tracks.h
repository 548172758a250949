#pragma once
// Where along each sheet a region shows.

#include <vector>

#include "likelihood/scene.h"
#include "streak/find_regions.h"

namespace scrapetrace::diagnose {

// Per scan. Contacts come and go: a sheet that shows the place well enough to miss a streak there, and lacks
// what another one shows plainly, has no strips, so that it says nothing against it. Scans of one sheet
// (`same_sheet`) must agree.
std::vector<streak::Track> region_tracks(const std::vector<profile::PreparedScan>& scans,
                                         const streak::Region& region, bool same_sheet);

}  // namespace scrapetrace::diagnose
