#pragma once
// Weak and dead jets and what became of them, in words: for recheck and for accept.

#include <string>
#include <vector>

#include "report/units.h"
#include "scrapetrace/jet_changes.h"

namespace scrapetrace::report {

// One line for every jet: head, ink, number, place on the sheet, and since when. `of_scans` follows the
// streak's number where two sets of scans have one: " after".
std::vector<std::string> jet_lines(const std::vector<JetChange>& jets, LengthUnit unit,
                                   const std::string& of_scans = "");
// "0.4 mm from the place you cleaned"
std::string from_cleaned_words(double from_cleaned_mm, LengthUnit unit);

}  // namespace scrapetrace::report
