#pragma once
// Whether a verdict that somebody hands over follows from the numbers beside it.

#include <cstddef>
#include <vector>

#include "scrapetrace/accept.h"

namespace scrapetrace::accept_detail {

// As verdict_of(); without a scan that was analysed there is no verdict.
Verdict together(const std::vector<LimitVerdict>& limits, bool any_scan_analysed);

// Whether accept() can have judged a limit so. Only the worst value is known, not whether it surely belongs
// to the print: where several verdicts are possible, each of them follows. Numbers may be rounded to 1e-5.
bool is_consistent(const LimitVerdict& limit, double guard);

}  // namespace scrapetrace::accept_detail
