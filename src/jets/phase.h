#pragma once
// Where within a jet's pitch the jets' pattern lies.

#include <limits>

#include "jets/jet_match.h"

namespace scrapetrace::jets {

struct Phase {
  Trial trial;
  double left_over = std::numeric_limits<double>::infinity();  // there, in units of noise (JetMatch)
  double elsewhere = 0;  // the same with the heads off by parts of a pitch, mean
  [[nodiscard]] double ratio() const { return elsewhere > 0 ? left_over / elsewhere : 1; }
};

// Heads as the layout has them, moved by less than a pitch and stretched.
Phase best_phase(const JetMatch& match, double pitch_mm, double column_mm, double stretch);

// The same over all stretches up to `reach`; it does not depend on `threads`.
Phase best_stretch(const JetMatch& match, const JetData& data, double pitch_mm, double column_mm,
                   double reach, int threads);

// Closer to the best place than the steps of the two above. `most` bounds the stretch: heads that stand apart
// by a shift must not be brought together by it.
void refine(const JetMatch& match, double column_mm, double length_mm, double most, Phase& phase);

}  // namespace scrapetrace::jets
