#pragma once
// Words in tables for spreadsheets.

#include <string>
#include <string_view>

namespace scrapetrace::report {

// A cell of a CSV file (RFC 4180), always in quotes; control characters and those that turn the reading order
// as printable() shows them. What a spreadsheet would run as a formula, blanks before it or not, gets an
// apostrophe in front.
std::string csv_cell(std::string_view text);

}  // namespace scrapetrace::report
