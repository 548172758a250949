#pragma once
// From explained streaks to cleaning targets.

#include <vector>

#include "diagnose/diagnose_region.h"
#include "geometry/machine.h"
#include "scrapetrace/findings.h"

namespace scrapetrace::diagnose {

// The targets that one streak may come from, likeliest first; those below `least` are left out.
std::vector<StreakTarget> targets_of(const geometry::Machine& machine, const Explanation& explanation,
                                     double elsewhere, double least = 0.001);

// True when some streak supports both.
bool share_a_streak(const Target& a, const Target& b);

// P(target) = 1 - product over streaks of (1 - P(streak is residue of this target)). A residue cell gives
// each zone of its carriage the part prior_density * overlap / width of its weight, and what lies in no zone
// to nobody. `streak_ids[k]` is the id of explanations[k]. Sorted by probability, ties by head and zone
// order; targets below `least` are left out. `registration_mm[k]` (standard deviation where explanations[k]
// is; the mean square counts where several support a target) and the lattice of whole columns are added to
// every position's spread.
std::vector<Target> rank_targets(const geometry::Machine& machine,
                                 const std::vector<Explanation>& explanations,
                                 const std::vector<std::size_t>& streak_ids, double elsewhere,
                                 const std::vector<double>& registration_mm, double least = 0.005);

}  // namespace scrapetrace::diagnose
