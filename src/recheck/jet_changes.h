#pragma once
// What a cleaning did to the jets. A needless scrape ruins a head, so that this is said before anything else;
// and what was so before is not blamed on the cleaning.

#include <vector>

#include "scrapetrace/recheck.h"

namespace scrapetrace::recheck_detail {

// Every streak of the scans after that is a dead or weak jet's, likelier than not. A jet is lost when its
// place read less than half of today's loss before (95 %); it was so when it read more than half (95 %) and
// nothing but a jet stood there; anything else the scans before could not show.
std::vector<JetChange> jet_changes(const Layout& layout, const RecheckEvidence& evidence,
                                   const std::vector<Cleaned>& cleaned);

// Whether a head that was cleaned lost one.
bool harmed(const std::vector<JetChange>& jets);

}  // namespace scrapetrace::recheck_detail
