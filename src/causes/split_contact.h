#pragma once
// Two scrapes whose streaks overlap.
//
// One contact is fitted to both at first, a compromise that fits neither, and turns of "each given the other"
// do not leave it: what is given is wrong. They need a start with both contacts about where they are. The
// compromise begins where the first one begins and ends where the last one ends.

#include <utility>

#include "causes/residue.h"
#include "geometry/machine.h"

namespace scrapetrace::diagnose {

// The contacts, one at each end of `whole`, that explain the evaluator's scene best together; its state is
// set anew. Both are of that contact's carriage and side: which they really are is for a search to say.
std::pair<ResidueHypothesis, ResidueHypothesis> split_contact(const geometry::Machine& machine,
                                                              Evaluator& evaluator,
                                                              const ResidueHypothesis& whole);

}  // namespace scrapetrace::diagnose
