#pragma once
// The schema of a casebook file, and checks of it. A casebook may come from somebody else, so header and
// schema are verified before any query runs.

#include <optional>
#include <string>

#include "store/sqlite.h"

namespace scrapetrace::casebook {

// Why the file cannot be a casebook, by its header alone (https://www.sqlite.org/fileformat2.html, 1.3):
// type, application id, version, journal mode, encoding. An empty file is not yet one. Reads 100 bytes.
std::optional<std::string> wrong_with_header(const std::string& path);

// Creates tables, index and triggers in an empty database.
void make_tables(store::Database& database);

// How the schema differs from that of make_tables(), compared as SQL text.
std::optional<std::string> wrong_with_schema(store::Database& database);

}  // namespace scrapetrace::casebook
