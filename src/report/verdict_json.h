#pragma once
// Checks a verdict read from JSON against its own numbers.

#include <string>

#include "report/json_values.h"

namespace scrapetrace::report {

// Why accept() cannot have produced this, as half a sentence; empty when verdict, sentence, limits and scans
// are consistent. Detects slips and single edits, not a consistent forgery.
std::string wrong_with_verdict(const Json& verdict);

}  // namespace scrapetrace::report
