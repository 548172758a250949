#pragma once
// What became of one streak, from its two readings.

#include "scrapetrace/recheck.h"

namespace scrapetrace::recheck_detail {

// Fills fainter_by, fainter_sigma and at_most from loss_before and loss_after, and says which of gone,
// fainter, unchanged, stronger and could_not_look they make. `found_after`: the after scans' own search found
// it there, so it is not gone.
Change classify(StreakChange& change, bool found_after, const RecheckOptions& options);

// True when a reading is more than noise and more than the forward model's own error.
bool shows(const Reading& reading);

}  // namespace scrapetrace::recheck_detail
