#pragma once
// Lengths in the unit the reader asked for. Values are millimetres everywhere else.

#include <string>
#include <string_view>

#include "scrapetrace/length_unit.h"

namespace scrapetrace::report {

// "84.2" for 84.2 mm and one digit; inches get two digits more, at most three. Not-a-number as in decimals().
std::string length_value(double mm, int digits, LengthUnit unit);
// "84.2 mm" or "3.315 in".
std::string length(double mm, int digits, LengthUnit unit);
const char* unit_word(LengthUnit unit);  // "mm", "in"

// The analysis writes its sentences in millimetres: every "4.5 mm" in one becomes inches when asked for.
std::string sentence_in(std::string_view sentence, LengthUnit unit);

}  // namespace scrapetrace::report
