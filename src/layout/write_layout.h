#pragma once

#include <string>

#include "scrapetrace/layout.h"

namespace scrapetrace::layout {

// A layout as a file from which read_layout() makes the same one again; `remark` stands above it as a
// comment, line by line.
std::string write_layout(const Layout& layout, const std::string& remark);

// One [[zone]] table.
std::string zone_toml(const Zone& zone);

}  // namespace scrapetrace::layout
