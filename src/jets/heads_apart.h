#pragma once
// Heads that do not stand where the layout has them beside the others.

#include <optional>
#include <vector>

#include "geometry/machine.h"
#include "jets/find_pattern.h"

namespace scrapetrace::jets {

struct HeadsApart {
  std::vector<std::size_t> heads;       // of the layout: one, or all of a carriage
  std::optional<std::size_t> carriage;  // when all of its heads are
  double off_mm = 0;                    // to the right on the drum of where the layout has them
};

// Each head's pattern is placed by itself, within half a jet's pitch of where `pattern` has the whole. A line
// through these places is the print's own shift and stretch; one head or one carriage that stands off from it
// by more than 0.8 column while all others lie on it is apart. A bend of the scan, which no head or carriage
// explains, is none. Needs four heads that show their pattern clearly. It does
// not depend on `threads`.
std::optional<HeadsApart> heads_apart(const JetData& data, const geometry::Machine& machine,
                                      const Pattern& pattern, int threads = 1);

}  // namespace scrapetrace::jets
