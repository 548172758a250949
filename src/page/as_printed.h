#pragma once

#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::page {

// The chart as this machine prints it.
// - Patches end where the outermost heads' ink ends. A chart of which no patch would be left belongs to
// another machine and is not cut.
// - The text and rulers around its tags are added as patches without inks, neither measured nor bare paper:
// across the whole print and a quarter of a tag's size above and below it; beside patches only the tag with
// that margin.
Chart as_printed(const Layout& layout, const Chart& chart);

}  // namespace scrapetrace::page
