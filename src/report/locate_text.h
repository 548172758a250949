#pragma once
// The findings as text for a person at the machine: answer, steps, evidence. At most 100 columns, own words
// in ASCII.

#include <string>

#include "report/units.h"
#include "scrapetrace/findings.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::report {

std::string locate_text(const Layout& layout, const Findings& findings, LengthUnit unit = LengthUnit::mm);

}  // namespace scrapetrace::report
