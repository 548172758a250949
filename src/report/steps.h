#pragma once
// What to do next, step by step, and what a clean answer is worth.

#include <string>
#include <vector>

#include "report/answer.h"
#include "report/units.h"
#include "scrapetrace/findings.h"

namespace scrapetrace::report {

std::vector<std::string> steps_for(const Answer& answer, const Findings& findings, LengthUnit unit);

// How fine the scans could see.
std::string sight_of(const Findings& findings, LengthUnit unit);

// Per scan that could not be analysed, why and what to do about it; the first few.
std::vector<std::string> unread_scans(const Findings& findings, LengthUnit unit);

}  // namespace scrapetrace::report
