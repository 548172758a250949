#pragma once
// Scans that contradict each other: nothing is judged from them.

#include <string>

#include "scrapetrace/findings.h"

namespace scrapetrace::report {

// "b.png contradicts the other scans, so that ..." without full stop; empty when no scan does.
std::string mixed_words(const Findings& findings);

}  // namespace scrapetrace::report
