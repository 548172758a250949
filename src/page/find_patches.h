#pragma once
// A page whose chart is not known: its printed areas become a chart of their own.

#include <string>
#include <variant>

#include "page/coarse_map.h"
#include "page/placement.h"

namespace scrapetrace::page {

// Finds the sheet (its edges against the bed, else the image's), then even, inked rectangles of at least
// 20 mm x 4 mm on it, and the inks of the layout that match their colours best (solids of one ink or of
// several, else a tint of one). Way up: as given. Only the sheet's edge ties the print to the drum, so the
// placement's sigma is that of a sheet's edge. A sentence when no such area is found.
std::variant<Placement, std::string> place_without_chart(const PageRaster& raster, const Layout& layout,
                                                         const CoarseMap& coarse, double dpi,
                                                         const std::string& dpi_source, double angle_deg);

}  // namespace scrapetrace::page
