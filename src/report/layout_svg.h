#pragma once
// A layout as a picture to scale, seen facing the faceplates: one row per carriage in the order of events,
// heads as boxes with the stencilled sides, the zones below them, seams, and places that two targets share.

#include <string>

#include "scrapetrace/layout.h"
#include "scrapetrace/layout_description.h"

namespace scrapetrace::report {

// `description` is describe_layout(layout), `origin` the last line: origin_sentence(). Well-formed SVG 1.1
// that needs no other file.
std::string layout_svg(const Layout& layout, const LayoutDescription& description, const std::string& origin);

}  // namespace scrapetrace::report
