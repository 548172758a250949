#pragma once
// CSV cells that are safe in spreadsheets.

#include <string>
#include <string_view>

namespace scrapetrace::report {

// A quoted CSV cell (RFC 4180). Control and bidirectional characters appear as in printable(). Text that a
// spreadsheet would run as a formula gets a leading apostrophe.
std::string csv_cell(std::string_view text);

}  // namespace scrapetrace::report
