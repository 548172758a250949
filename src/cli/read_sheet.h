#pragma once
// One file of a sheet, scan or photo, as a page to analyse.

#include <string>

#include "sandbox/page_reader.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::cli {

// With a chart that has tags, a photo is made flat by them, and a page that is bent across straightened; all
// else is read as it is. `chart` may be null.
Result<PageRaster> read_sheet(const sandbox::PageReader& reader, const std::string& file,
                              const Layout& layout, const Chart* chart, scan::ReadOptions options);

}  // namespace scrapetrace::cli
