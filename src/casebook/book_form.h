#pragma once
// What a casebook's file looks like, and what keeps a file from being one. A casebook may come from somebody
// else: nothing in it is asked for anything before its header and its schema are those that this program
// writes.

#include <optional>
#include <string>

#include "store/sqlite.h"

namespace scrapetrace::casebook {

// Why the file cannot be a casebook of this program's, by its header alone
// (https://www.sqlite.org/fileformat2.html, 1.3): kind of file, application, version, journal, encoding. A
// file without a byte is none yet. Reads 100 bytes.
std::optional<std::string> wrong_with_header(const std::string& path);

// Makes the tables, the index and the triggers in an empty database.
void make_tables(store::Database& database);

// How the schema differs from what make_tables() makes, text by text.
std::optional<std::string> wrong_with_schema(store::Database& database);

}  // namespace scrapetrace::casebook
