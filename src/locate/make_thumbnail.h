#pragma once

#include "page/placement.h"
#include "scrapetrace/findings.h"
#include "scrapetrace/page.h"

namespace scrapetrace::locate_detail {

// The sheet, upright and straight, about `width_px` wide; white where the raster does not show it.
Thumbnail make_thumbnail(const PageRaster& raster, const page::Placement& placement, int width_px = 1000);

// A part of the sheet in pixels of any shape. Each pixel is the mean light of the raster's under it.
Thumbnail make_crop(const PageRaster& raster, const page::Placement& placement, Interval x_mm, Interval y_mm,
                    int width_px, int height_px);

// The print around a streak: all that the scan resolved across, the whole sheet along, much reduced.
Thumbnail crop_around(const PageRaster& raster, const page::Placement& placement, double x_sheet_mm,
                      double width_mm);

}  // namespace scrapetrace::locate_detail
