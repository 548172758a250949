#pragma once
// Where a known chart lies in a raster, to about a millimetre: which way round, how turned, which scale.

#include <optional>

#include "page/coarse_map.h"
#include "page/expected_colour.h"
#include "page/raster_from_sheet.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::page {

struct CoarsePlacement {
  RasterFromSheet map;
  double agreement = 0;    // correlation of seen and expected linear signal over the sheet, -1 to 1
  double runner_up = 0;    // the best agreement of the sheet turned by half a turn
  double scale_guess = 1;  // raster scale over the nominal one it was started with
};

struct PlaceOptions {
  double angle_deg = 0;          // of straight edges in the raster, from estimate_skew
  double px_per_mm_x = 0;        // nominal, across
  double px_per_mm_y = 0;        // nominal, along
  bool scale_known = true;       // false: the scale is searched too
  bool mirrored_parity = false;  // the raster itself is a mirror image of the scan (read transposed)
  double largest_shift_mm = 60;
};

// Compares the edges of the chart, projected on both axes, with those of the raster, for each way round and
// shift (and scale), and keeps what agrees best with the picture as a whole. Nothing when the map is empty.
std::optional<CoarsePlacement> place_on_chart(const CoarseMap& map, const Layout& layout, const Chart& chart,
                                              bool grey, const PlaceOptions& options);

}  // namespace scrapetrace::page
