#pragma once
// Where the sheet lies in a raster: resolution, way round, fine placement; or one sentence why it is not
// known.

#include <variant>

#include "page/placement.h"
#include "scrapetrace/locate.h"

namespace scrapetrace::locate_detail {

std::variant<page::Placement, std::string> place_page(const Layout& layout, const Chart* chart,
                                                      const PageRaster& raster, const LocateOptions& options);

}  // namespace scrapetrace::locate_detail
