#pragma once
// Where a known chart lies in a raster, to about a millimetre: which way round, how turned, which scale.

#include <vector>

#include "page/coarse_map.h"
#include "page/expected_colour.h"
#include "page/raster_from_sheet.h"
#include "page/ways_round.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::page {

struct CoarsePlacement {
  RasterFromSheet map;
  double agreement = 0;    // correlation of seen and expected linear signal over the sheet, -1 to 1
  double probability = 0;  // that the sheet lies this way round
  double scale_guess = 1;  // raster scale over the nominal one it was started with
};

struct PlaceOptions {
  double angle_deg = 0;     // of straight edges in the raster, from estimate_skew
  double px_per_mm_x = 0;   // nominal, across
  double px_per_mm_y = 0;   // nominal, along
  bool scale_known = true;  // false: the scale is searched too
  std::vector<WayRound> ways = ways_round(false, {});
  double largest_shift_mm = 60;  // of the sheet's middle from the image's, beyond the play that both leave
  int threads = 1;               // the placements do not depend on it
};

// Compares the edges of the chart, projected on both axes, with those of the raster, for each way round and
// shift (and scale), and keeps what agrees best with the picture as a whole. The ways round that agree about
// equally well, likeliest first; a way whose agreement is lower by 0.0005 is e times less likely. Nothing
// when the map or the chart is empty.
std::vector<CoarsePlacement> place_on_chart(const CoarseMap& map, const Layout& layout, const Chart& chart,
                                            bool grey, const PlaceOptions& options);

// The agreement alone, of a placement that is known.
double agreement_with_chart(const CoarseMap& map, const Layout& layout, const Chart& chart, bool grey,
                            const RasterFromSheet& place);

}  // namespace scrapetrace::page
