#pragma once
// Our test page: text, arrow and rulers around the planned bands and tags.

#include <string>

#include "testpage/drawing.h"
#include "testpage/plan_page.h"

namespace scrapetrace::testpage {

// sRGB of a solid of these inks over white paper: 10^-density per channel of linear light.
Rgb solid_colour(const Layout& layout, const std::vector<std::string>& inks);

Drawing draw_test_page(const Layout& layout, const LayoutDescription& machine, const PagePlan& plan);

}  // namespace scrapetrace::testpage
