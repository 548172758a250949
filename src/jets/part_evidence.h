#pragma once
// Which of two ways round the jets speak for, part by part across a scan.
//
// Over a whole page the log likelihoods of two ways differ by what the model misses, many times over: heads
// that stand symmetrically lay the same combs either way, yet a streak, a bend, a column's rim or another
// estimate of the noise fits one of them better by hundreds of units. What is real shows in many parts and by
// much: there the jets explain less of the print. So what counts is the share explained, in which the noise
// cancels; slight differences say nothing, nor do parts beside a streak, and no part says more than a few log
// units.

#include <vector>

#include "jets/jet_match.h"

namespace scrapetrace::jets {

// One part of a scan, heads at a place.
struct PartEvidence {
  double explained = 0;  // share of the residuals' squares that the jets explain, 0 to 1
  bool quiet = true;     // no streak lies there
};

// From left to right on the drum.
std::vector<PartEvidence> evidence_by_parts(const JetData& data, const Trial& place, int threads);

// Log odds of `a` over `b`, two ways round of one scan. `opposite`: they run against each other across.
double log_odds(const std::vector<PartEvidence>& a, const std::vector<PartEvidence>& b, bool opposite);

}  // namespace scrapetrace::jets
