#pragma once
// A casebook's records for others: JSON, CSV and HTML.

#include <string>

#include "casebook/casebook.h"

namespace scrapetrace::cli {

// `format` is json, csv or html; all records of `unit`, or of all units when it is empty.
Result<std::string> export_records(const casebook::Casebook& book, const std::string& unit,
                                   const std::string& format);

// A cell of a CSV file (RFC 4180), always in quotes. What a spreadsheet would run as a formula gets an
// apostrophe before it.
std::string csv_cell(const std::string& text);

}  // namespace scrapetrace::cli
