#pragma once
// A verdict that comes back as JSON, held against the numbers that it carries.

#include <string>

#include "report/json_values.h"

namespace scrapetrace::report {

// Why this cannot be what accept() found, as half a sentence; empty when verdict, sentence, limits and scans
// agree. That shows a slip or an edited number, no forger who edits all of them.
std::string wrong_with_verdict(const Json& verdict);

}  // namespace scrapetrace::report
