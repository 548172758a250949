#pragma once
// Sides of patches that a streak touches. What looks like the patch's side there is the streak's, or a
// mixture of both, and by up to the streak's width from where the patch was printed: no mark to register to.

#include <array>
#include <vector>

#include "page/patch_edges.h"
#include "page/raster_from_sheet.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/page.h"

namespace scrapetrace::page {

// Per patch of the chart, whether ink is missing along its sides x_mm[0] and x_mm[1]: whether any third of a
// millimetre within two inside lacks more than a twelfth of the step that patch and paper make, or one within
// three outside has as much. Sides are looked for where `found` has them (points of refine_placement's
// measurement with this map), else where the map has them. Patches too narrow to tell, pale ones and those
// beyond the image count as untouched. The scan's point spread `blur_px` (0: not known) spreads a side's own
// step: what lies within it is not looked at. `printed` is the chart's; the answer does not depend on
// `threads`.
std::vector<std::array<bool, 2>> find_touched_sides(const PageRaster& raster, const Chart& chart,
                                                    const PrintedChart& printed, const RasterFromSheet& map,
                                                    const std::vector<EdgePoint>& found, double blur_px,
                                                    int threads = 1);

}  // namespace scrapetrace::page
