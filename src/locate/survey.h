#pragma once
// Where something is wrong on any of several scans, each scan alone and all of them together.

#include <vector>

#include "geometry/machine.h"
#include "likelihood/scene.h"
#include "streak/find_regions.h"

namespace scrapetrace::locate_detail {

// Where something is wrong, in drum millimetres. What is weak on every sheet is seen in their mean; what
// shows on one sheet only (a contact that comes and goes) would drown there, so each scan is searched by
// itself too: with several scans half the rate goes to the mean. Steps that the layout explains are left out
// as far as a lossy coder smears them.
std::vector<streak::Region> survey(const geometry::Machine& machine,
                                   const std::vector<profile::PreparedScan>& scans, double false_alarm_rate,
                                   int threads);

// What a print may lie off by where neither marks nor jets place it; steps that the layout explains are left
// out as far. 0 where they do.
double place_play_mm(const profile::PreparedScan& scan);

// Whether any patch is solid: tints do not show how wide a line at a seam is.
bool shows_solids(const profile::PreparedScan& scan);

// How far beside seams that the layout explains that play, sharpening, coarse coding or want of solids lets
// no streak be told.
double hidden_beside_seams_mm(const profile::PreparedScan& scan);

// The drum intervals around those seams.
std::vector<Interval> hidden_seams(const geometry::Machine& machine, const profile::PreparedScan& scan);

}  // namespace scrapetrace::locate_detail
