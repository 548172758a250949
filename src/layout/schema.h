#pragma once
// The schema key at the top of every file.

#include <string>

#include "layout/table_reader.h"

namespace scrapetrace::layout {

// Checks the key `schema`. False for a file of another kind, which the caller should not read further.
bool check_schema(TableReader& root, const std::string& expected);

}  // namespace scrapetrace::layout
