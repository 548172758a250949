#pragma once
// From the ranking to visits: in which order to clean.

#include "scrapetrace/findings.h"

namespace scrapetrace::locate_detail {

// Sets the findings' order and expected minutes from their targets and streaks. Targets below
// `least` are left out: they come after everything else.
void order_targets(const Layout& layout, Findings& findings, double least = 0.02);

}  // namespace scrapetrace::locate_detail
