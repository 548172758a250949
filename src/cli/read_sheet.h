#pragma once
// One file of a sheet, scan or photo, as a page to analyse.

#include <optional>
#include <string>

#include "sandbox/page_reader.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/photo.h"

namespace scrapetrace::cli {

// With a chart that has tags, a photo is made flat by them, and a page that is bent across straightened. A
// photo without tags (four of them) and without a stated resolution is made flat by the edges of its patches,
// found from the sheet's or the print's outline, or from `corners`. All else is read as it is. `chart` may be
// null.
Result<PageRaster> read_sheet(const sandbox::PageReader& reader, const std::string& file,
                              const Layout& layout, const Chart* chart, scan::ReadOptions options,
                              const std::optional<PhotoCorners>& corners = {});

}  // namespace scrapetrace::cli
