#pragma once

#include "page/placement.h"
#include "scrapetrace/page.h"

namespace scrapetrace::locate_detail {

// The sheet, upright and straight, about `width_px` wide; paper around it as far as the raster shows it.
Thumbnail make_thumbnail(const PageRaster& raster, const page::Placement& placement, int width_px = 1000);

}  // namespace scrapetrace::locate_detail
