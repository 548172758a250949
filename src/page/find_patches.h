#pragma once
// Places a page without a known chart: its printed areas become the chart.

#include <string>
#include <variant>
#include <vector>

#include "page/coarse_map.h"
#include "page/placement.h"
#include "page/sheet_orientations.h"

namespace scrapetrace::page {

struct BarePageOptions {
  double dpi = 0;  // nominal
  std::string dpi_source;
  double angle_deg = 0;  // clockwise, of straight edges in the raster, from estimate_skew
  std::vector<SheetOrientation> ways = sheet_orientations(false, {});
};

// A remark for pages placed by the edge of sheet or image.
std::string bare_page_remark(Datum datum);

// Finds the sheet (its edges against the bed, else the image's), then even inked rectangles of at least 20 mm
// x 4 mm and the inks whose solids or tints match best. The rectangles' sides give the skew; the scale is
// nominal. The orientation is unknown, so there is a placement per orientation with its prior as probability.
// Only the left edge ties print to drum, so the sigma is that of a sheet's (or image's) edge. Rows with other
// print become patches without inks. A predicate for the file's name when no such area is found.
std::variant<std::vector<Placement>, std::string> place_without_chart(const PageRaster& raster,
                                                                      const Layout& layout,
                                                                      const CoarseMap& coarse,
                                                                      const BarePageOptions& options);

}  // namespace scrapetrace::page
