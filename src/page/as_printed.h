#pragma once

#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::page {

// The chart as this machine prints it.
// - A patch ends where the ink of the outermost head ends: beyond, the paper stays bare. A chart of which no
//   patch would be left is another machine's, and is left as it is.
// - What stands beside its tags is added: words and rulers, on the whole width of the print, as high as the
//   tag and a quarter of it above and below; beside patches only the tag with that margin. They are patches
//   without inks: neither to be measured nor bare paper.
Chart as_printed(const Layout& layout, const Chart& chart);

}  // namespace scrapetrace::page
