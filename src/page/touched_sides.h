#pragma once
// Finds patch sides that a streak touches. The edge seen there is the streak's or a mixture, off by up to the
// streak's width, so it must not be used for registration.

#include <array>
#include <vector>

#include "page/patch_edges.h"
#include "page/raster_from_sheet.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/page.h"

namespace scrapetrace::page {

// Per patch, whether a streak touches its sides x_mm[0] and x_mm[1]: any third of a millimetre within two
// inside lacks more than a twelfth of the patch's step, or one within three outside shows as much. Sides are
// taken where `found` has them (points of refine_placement with this map), else from the map. Patches that
// are narrow, pale or outside the image count as untouched. `blur_px` (0: unknown) is the blur; what it
// covers is not examined. `printed` is the chart's. The result does not depend on `threads`.
std::vector<std::array<bool, 2>> find_touched_sides(const PageRaster& raster, const Chart& chart,
                                                    const PrintedChart& printed, const RasterFromSheet& map,
                                                    const std::vector<EdgePoint>& found, double blur_px,
                                                    int threads = 1);

}  // namespace scrapetrace::page
