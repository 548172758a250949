#pragma once
// The findings for a person at the machine: the answer first, then what to do, then what it rests on.
// At most 100 columns, our own words in ASCII.

#include <string>

#include "report/units.h"
#include "scrapetrace/findings.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::report {

std::string locate_text(const Layout& layout, const Findings& findings, LengthUnit unit = LengthUnit::mm);

}  // namespace scrapetrace::report
