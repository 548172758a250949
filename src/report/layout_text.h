#pragma once
// A layout and what follows from it, for a person who checks it against the machine.

#include <string>

#include "scrapetrace/layout.h"
#include "scrapetrace/layout_description.h"

namespace scrapetrace::report {

// `description` is describe_layout(layout).
std::string layout_text(const Layout& layout, const LayoutDescription& description);

}  // namespace scrapetrace::report
