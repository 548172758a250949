#pragma once
// Corrects sheets that wandered sideways in a feeder.

#include <optional>

#include "page/placement.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/page.h"

namespace scrapetrace::page {

struct Unswayed {
  PageRaster raster;
  double sway_mm = 0;  // half of peak to peak
};

// Shifts rows back by what both sides of the print have in common; a streak moves one side only. Nothing when
// the sides are straight or do not show for enough of the length. The overview is unchanged.
std::optional<Unswayed> without_sway(const PageRaster& raster, const Layout& layout, const Placement& place);

}  // namespace scrapetrace::page
