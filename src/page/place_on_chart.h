#pragma once
// Places a known chart in a raster to about a millimetre: orientation, rotation, scale.

#include <vector>

#include "page/coarse_map.h"
#include "page/expected_colour.h"
#include "page/raster_from_sheet.h"
#include "page/sheet_orientations.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::page {

struct CoarsePlacement {
  RasterFromSheet map;
  double agreement = 0;    // correlation of seen and expected linear signal, -1 to 1
  double probability = 0;  // of this orientation
  double scale_guess = 1;  // raster scale over the nominal one
};

struct PlaceOptions {
  double angle_deg = 0;     // clockwise, of straight edges in the raster, from estimate_skew
  double px_per_mm_x = 0;   // nominal, across
  double px_per_mm_y = 0;   // nominal, along
  bool scale_known = true;  // false: search the scale too
  std::vector<SheetOrientation> ways = sheet_orientations(false, {});
  double largest_shift_mm = 60;  // of the sheet's centre from the image's, beyond the play that both leave
  int threads = 1;               // does not change the placements
};

// Matches edge profiles of chart and raster on both axes, for each orientation, shift and scale, then keeps
// the best agreement with the picture. Returns the orientations of about equal agreement, likeliest first; a
// loss of 0.0005 in agreement makes one e times less likely. Nothing for an empty map or chart.
std::vector<CoarsePlacement> place_on_chart(const CoarseMap& map, const Layout& layout, const Chart& chart,
                                            bool grey, const PlaceOptions& options);

// Only the agreement, of a known placement.
double agreement_with_chart(const CoarseMap& map, const Layout& layout, const Chart& chart, bool grey,
                            const RasterFromSheet& place);

}  // namespace scrapetrace::page
