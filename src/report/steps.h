#pragma once
// What to do next, step by step, and how far a clean answer reaches.

#include <string>
#include <vector>

#include "report/answer.h"
#include "report/units.h"
#include "scrapetrace/findings.h"

namespace scrapetrace::report {

std::vector<std::string> steps_for(const Answer& answer, const Findings& findings, LengthUnit unit);

// The finest streak the scans could show.
std::string sight_of(const Findings& findings, LengthUnit unit);

// For the first few scans that could not be analysed: why, and what to do.
std::vector<std::string> unread_scans(const Findings& findings, LengthUnit unit);

}  // namespace scrapetrace::report
