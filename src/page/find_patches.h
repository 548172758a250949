#pragma once
// A page whose chart is not known: its printed areas become a chart of their own.

#include <string>
#include <variant>
#include <vector>

#include "page/coarse_map.h"
#include "page/placement.h"
#include "page/ways_round.h"

namespace scrapetrace::page {

struct BarePageOptions {
  double dpi = 0;  // nominal
  std::string dpi_source;
  double angle_deg = 0;  // of straight edges in the raster, from estimate_skew
  std::vector<WayRound> ways = ways_round(false, {});
};

// What has to be said of a page placed by the sheet's or the image's edge.
std::string bare_page_remark(Datum datum);

// Finds the sheet (its edges against the bed, else the image's), then even, inked rectangles of at least
// 20 mm x 4 mm on it, and the inks of the layout that match their colours best (solids of one ink or of
// several, else a tint of one). The sides of the rectangles give the skew; the scale is the nominal one.
// Nothing tells which way round the sheet lies, so there is a placement for each way, as likely as its prior.
// Only the sheet's left edge ties the print to the drum, so a placement's sigma is that of a sheet's (or
// image's) edge. Rows with other print become patches without inks. A sentence, fit to follow the file's
// name, when no such area is found.
std::variant<std::vector<Placement>, std::string> place_without_chart(const PageRaster& raster,
                                                                      const Layout& layout,
                                                                      const CoarseMap& coarse,
                                                                      const BarePageOptions& options);

}  // namespace scrapetrace::page
