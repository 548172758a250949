#pragma once
// A chart's marks as patches: a tag is printed like any ink.

#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::press {

// The chart's patches, plus patches in the inks that make black for its tags' black cells.
Chart with_printed_marks(const Layout& layout, const Chart& chart);

}  // namespace scrapetrace::press
