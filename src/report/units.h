#pragma once
// Lengths in the reader's unit. All values are in millimetres.

#include <string>
#include <string_view>

#include "scrapetrace/length_unit.h"

namespace scrapetrace::report {

// "84.2" for 84.2 mm and one digit; inches get two more digits, at most three. NaN as in decimals().
std::string length_value(double mm, int digits, LengthUnit unit);
// "84.2 mm" or "3.315 in".
std::string length(double mm, int digits, LengthUnit unit);
const char* unit_word(LengthUnit unit);  // "mm", "in"

// Converts every "4.5 mm" in a sentence of the analysis.
std::string sentence_in(std::string_view sentence, LengthUnit unit);

}  // namespace scrapetrace::report
