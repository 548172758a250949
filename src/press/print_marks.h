#pragma once
// A chart's marks as patches: the press lays a tag like any other ink.

#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::press {

// The chart's patches and, for the black cells of its tags, patches of the inks that make black.
Chart with_printed_marks(const Layout& layout, const Chart& chart);

}  // namespace scrapetrace::press
