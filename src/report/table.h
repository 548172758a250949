#pragma once
// Columns of text lined up with blanks.

#include <string>
#include <vector>

namespace scrapetrace::report {

using TableRow = std::vector<std::string>;

// One line per row, each indented by two blanks; a column whose letter in `align` is 'r' is set flush right.
// All rows have as many cells as `align` has letters.
std::string table(const std::string& align, const std::vector<TableRow>& rows);

}  // namespace scrapetrace::report
