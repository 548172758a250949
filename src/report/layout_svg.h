#pragma once
// A layout drawn to scale, seen facing the faceplates: one row per carriage in the order of events, heads
// with stencilled sides, zones, seams, and places that two targets share.

#include <string>

#include "scrapetrace/layout.h"
#include "scrapetrace/layout_description.h"

namespace scrapetrace::report {

// `description` is describe_layout(layout); `origin` is the last line, from origin_sentence(). Self-contained
// SVG 1.1.
std::string layout_svg(const Layout& layout, const LayoutDescription& description, const std::string& origin);

}  // namespace scrapetrace::report
