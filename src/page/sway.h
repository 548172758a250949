#pragma once
// Sheets that swayed sideways on their way through a feeder.

#include <optional>

#include "page/placement.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/page.h"

namespace scrapetrace::page {

struct Unswayed {
  PageRaster raster;
  double sway_mm = 0;  // half of its whole reach
};

// The page with its rows moved back to where both sides of the print together say that they belong; a streak
// along one side moves that side alone and is no sway. Nothing where the sides agree with a straight print,
// or do not show for enough of its length. The overview stays as it was.
std::optional<Unswayed> without_sway(const PageRaster& raster, const Layout& layout, const Placement& place);

}  // namespace scrapetrace::page
