#pragma once
// Classifies a streak's change from two readings.

#include "scrapetrace/recheck.h"

namespace scrapetrace::recheck_detail {

// Fills fainter_by, fainter_sigma and at_most from loss_before and loss_after. Returns gone, fainter,
// unchanged, stronger or could_not_look. `found_after`: the after scans' search found a streak there, so it
// is not gone.
Change classify(StreakChange& change, bool found_after, const RecheckOptions& options);

// Whether a reading exceeds both noise and model error.
bool shows(const Reading& reading);

}  // namespace scrapetrace::recheck_detail
