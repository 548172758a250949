#pragma once
// The findings for programs: schema "scrapetrace.locate/1", described in docs/locate-json.md.

#include <string>

#include "report/provenance.h"
#include "scrapetrace/findings.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::report {

// UTF-8, numbers rounded to their precision, null for NaN, newline at the end.
std::string locate_json(const Layout& layout, const Findings& findings, const Origin& origin);

}  // namespace scrapetrace::report
