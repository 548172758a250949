#pragma once
// How well a place across the sheet is known, everywhere across it.

#include "page/placement.h"
#include "page/refine_placement.h"
#include "scrapetrace/findings.h"

namespace scrapetrace::locate_detail {

// Standard deviations of a sheet x read from the raster, half way down, at places spread evenly over the
// sheet's width: of the fit (its covariance at that place), of the column that the press rounds a printed
// edge to, of a photo's flattening, and of the bend left between tags.
std::vector<PlaceError> place_errors(const PageRaster& raster, const Layout& layout, const Chart& chart,
                                     const page::SheetFromRaster& map);

// The largest between the outermost patches.
double worst_error_mm(const std::vector<PlaceError>& errors, const Chart& chart);

}  // namespace scrapetrace::locate_detail
