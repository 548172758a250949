#pragma once
// Weak and dead jets in words, for recheck and accept.

#include <string>
#include <vector>

#include "report/units.h"
#include "scrapetrace/jet_changes.h"

namespace scrapetrace::report {

// One line per jet: head, ink, number, place on the sheet, since when. `of_scans` follows the streak number
// when there are two sets of scans: " after".
std::vector<std::string> jet_lines(const std::vector<JetChange>& jets, LengthUnit unit,
                                   const std::string& of_scans = "");
// "0.4 mm from the place you cleaned"
std::string from_cleaned_words(double from_cleaned_mm, LengthUnit unit);

}  // namespace scrapetrace::report
