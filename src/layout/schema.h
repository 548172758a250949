#pragma once
// The first line of every file says what it is.

#include <string>

#include "layout/table_reader.h"

namespace scrapetrace::layout {

// Checks the key `schema` of the file's root. A file of another kind is worth one problem, not fifty: the
// caller stops when this returns false.
bool check_schema(TableReader& root, const std::string& expected);

}  // namespace scrapetrace::layout
