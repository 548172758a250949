#pragma once
// The sections of the text report; each ends with a newline or is empty.

#include <string>

#include "report/answer.h"
#include "report/units.h"
#include "scrapetrace/findings.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::report {

std::string answer_section(const Answer& answer, const Findings& findings, LengthUnit unit = LengthUnit::mm);
std::string cautions_section(const Answer& answer);
std::string steps_section(const Answer& answer, const Findings& findings, LengthUnit unit = LengthUnit::mm);
std::string ranking_section(const Findings& findings, LengthUnit unit = LengthUnit::mm);
std::string traces_section(const Findings& findings, LengthUnit unit);
std::string streaks_section(const Findings& findings, LengthUnit unit = LengthUnit::mm);
std::string other_section(const Findings& findings, LengthUnit unit = LengthUnit::mm);
std::string unchecked_section(const Findings& findings, LengthUnit unit = LengthUnit::mm);
std::string scans_section(const Findings& findings, LengthUnit unit = LengthUnit::mm);

}  // namespace scrapetrace::report
