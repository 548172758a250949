#pragma once
// Whether two scans show the volumes of the same jets.

#include <optional>

#include "geometry/machine.h"
#include "likelihood/scene.h"

namespace scrapetrace::jets {

// Correlation of what the two scans show of their jets, over all inks that both show, in units of what their
// own noise lets two scans of one machine have: about 1 for one machine (less where one scan is much
// blunter), about 0 for two. The best over shifts of three columns, since neither scan is placed better than
// to parts of one. Nothing where jets do not stand out of the noise of both.
std::optional<double> jets_alike(const geometry::Machine& machine, const profile::PreparedScan& one,
                                 const profile::PreparedScan& other);

}  // namespace scrapetrace::jets
