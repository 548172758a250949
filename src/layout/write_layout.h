#pragma once
// Parts of a layout file.

#include <string>

#include "scrapetrace/layout.h"

namespace scrapetrace::layout {

// One [[zone]] table.
std::string zone_toml(const Zone& zone);

}  // namespace scrapetrace::layout
