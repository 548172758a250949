#pragma once
// What a cleaning did to the jets. A needless scrape ruins a head, so that this is said before anything else;
// and what was so before is not blamed on the cleaning.

#include <vector>

#include "scrapetrace/recheck.h"

namespace scrapetrace::recheck_detail {

// Whether a head that was cleaned lost one.
bool harmed(const std::vector<JetChange>& jets);

}  // namespace scrapetrace::recheck_detail
