#pragma once
// Text tables.

#include <string>
#include <vector>

namespace scrapetrace::report {

using TableRow = std::vector<std::string>;

// One line per row, indented by two spaces. A column with 'r' in `align` is right-aligned. All rows have as
// many cells as `align` has letters.
std::string table(const std::string& align, const std::vector<TableRow>& rows);

}  // namespace scrapetrace::report
