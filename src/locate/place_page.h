#pragma once
// Where the sheet lies in a raster: resolution, way round, fine placement; or one sentence why it is not
// known.

#include <variant>
#include <vector>

#include "page/placement.h"
#include "scrapetrace/locate.h"

namespace scrapetrace::locate_detail {

// One placement for each way round that fits, likeliest first, their probabilities summing to 1.
std::variant<std::vector<page::Placement>, std::string> place_page(const Layout& layout, const Chart* chart,
                                                                   const PageRaster& raster,
                                                                   const LocateOptions& options);

}  // namespace scrapetrace::locate_detail
