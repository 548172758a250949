#pragma once
// A casebook's records for others: JSON, CSV and HTML.

#include <string>

#include "casebook/casebook.h"

namespace scrapetrace::cli {

// `format` is json, csv or html; all records of `unit`, or of all units when it is empty.
Result<std::string> export_records(const casebook::Casebook& book, const std::string& unit,
                                   const std::string& format);

}  // namespace scrapetrace::cli
