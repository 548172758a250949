#pragma once
// Which of two ways round the jets speak for, part by part across a scan.
//
// Over a whole page the log likelihoods of two ways differ by what the model misses, many times over: heads
// that stand symmetrically lay the same combs either way, yet a streak, a bend, a column's rim, another
// estimate of the noise or a place a tenth of a column off fits one of them better by hundreds of units. So
// both are asked with the same noise and volumes, each at its best place, without what lies near a streak or
// a seam, and about the share of the print that the jets explain. What they say is held against what the
// layout lets expect if the jets stood the one or the other way round: of the same combs nothing is expected,
// and nothing is heard.

#include <vector>

#include "geometry/machine.h"
#include "jets/jet_match.h"

namespace scrapetrace::jets {

// One way round.
struct WayShown {
  const JetData& data;
  Trial place;  // where the jets' pattern lies
};

// One part of a scan. Shares of the residuals' squares, all inks.
struct PartEvidence {
  double more = 0;      // that the one way's jets explain and the other's do not
  double if_one = 0;    // the same expected if the one way's jets printed the page,
  double if_other = 0;  // and if the other way's did: below 0
  double missed = 0;    // that neither explains
  double noise = 0;     // standard deviation of `more` by what is not print
};

// From left to right on the drum of `one`; nothing where the two do not show the same inks.
std::vector<PartEvidence> evidence_by_parts(const geometry::Machine& machine, const WayShown& one,
                                            const WayShown& other, const DrumMap& other_from_one,
                                            int threads);

// Log odds of the one way over the other.
double log_odds(const std::vector<PartEvidence>& parts);

}  // namespace scrapetrace::jets
