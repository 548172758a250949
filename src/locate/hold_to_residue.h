#pragma once
// No place is likelier to be dirty than one of the streaks that point at it is to be residue.

#include "scrapetrace/findings.h"

namespace scrapetrace::locate_detail {

// The most that a target's probability may be: 1 - product over its streaks of (1 - P(streak is residue)).
double residue_bound(const Target& target, const std::vector<Streak>& streaks);

// Whether every target, and every streak's share of targets, keeps to that.
bool held_to_residue(const Findings& findings);

// Lowers what exceeds it; the numbers come from several ways round and from streaks too weak to be named,
// each sound by itself. A target that keeps next to nothing is left out. Order is kept up.
void hold_to_residue(Findings& findings);

// What places are worth where the layout may be another machine's: each keeps the part of its probability
// that the layout has of being right.
void hold_unproved(Findings& findings);

}  // namespace scrapetrace::locate_detail
