#pragma once
// One file of a sheet, scan or photo, as a page to analyse.

#include <string>

#include "scan/read_page.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::cli {

// A photo of a chart with tags is made flat; everything else is read as it is. `chart` may be null.
Result<PageRaster> read_sheet(const std::string& file, const Layout& layout, const Chart* chart,
                              scan::ReadOptions options);

}  // namespace scrapetrace::cli
