#pragma once
// What a cleaning did to the jets. A needless scrape ruins a head, so this is reported first; earlier damage
// is not blamed on the cleaning.

#include <vector>

#include "scrapetrace/recheck.h"

namespace scrapetrace::recheck_detail {

// Whether a cleaned head lost a jet.
bool harmed(const std::vector<JetChange>& jets);

}  // namespace scrapetrace::recheck_detail
