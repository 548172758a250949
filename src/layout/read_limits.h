#pragma once
// Limits files (TOML 1.0, docs/formats.md) into values.

#include <string_view>

#include "scrapetrace/limits.h"
#include "scrapetrace/result.h"

namespace scrapetrace::layout {

// Every problem is reported, as for a layout. At least one limit must be set.
Result<Limits> read_limits(std::string_view toml, std::string_view file);

}  // namespace scrapetrace::layout
