#pragma once

#include <string>

#include "scrapetrace/layout.h"

namespace scrapetrace::layout {

// Writes a layout that read_layout() reads back unchanged; `remark` becomes a comment at the top.
std::string write_layout(const Layout& layout, const std::string& remark);

// One [[zone]] table.
std::string zone_toml(const Zone& zone);

}  // namespace scrapetrace::layout
