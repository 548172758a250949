#pragma once
// Exports a casebook as JSON, CSV or HTML.

#include <string>

#include "casebook/casebook.h"

namespace scrapetrace::cli {

// `format` is json, csv or html; an empty `unit` means all units.
Result<std::string> export_records(const casebook::Casebook& book, const std::string& unit,
                                   const std::string& format);

}  // namespace scrapetrace::cli
