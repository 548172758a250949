#pragma once
// A file of known places (docs/layout-fit.md) into values.

#include <string_view>
#include <vector>

#include "scrapetrace/layout_fit.h"
#include "scrapetrace/result.h"

namespace scrapetrace::layout {

Result<std::vector<KnownPlace>> read_places(std::string_view toml, std::string_view file);

}  // namespace scrapetrace::layout
