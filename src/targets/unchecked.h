#pragma once
// What the scans could not show.

#include <vector>

#include "geometry/machine.h"
#include "likelihood/scene.h"
#include "scrapetrace/findings.h"

namespace scrapetrace::diagnose {

// Drum intervals, within reach of some zone's contacts, where no scan shows an inked patch, or only where it
// hides streaks (`hidden`: per scan, at seams; fewer lists than scans: nothing); with the targets that have
// at least one per cent of their zone there. Ascending. A contact at home position x marks the print around x
// plus the middle of its carriage's travel, so zones are compared shifted by that.
std::vector<Unchecked> find_unchecked(const geometry::Machine& machine,
                                      const std::vector<profile::PreparedScan>& scans,
                                      const std::vector<std::vector<Interval>>& hidden = {});

// What those leave of all zones, each by its prior.
double checked_part(const geometry::Machine& machine, const std::vector<Unchecked>& unchecked);

}  // namespace scrapetrace::diagnose
