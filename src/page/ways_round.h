#pragma once
// The ways round that a sheet can lie in a raster.

#include <optional>
#include <vector>

#include "scrapetrace/page.h"

namespace scrapetrace::page {

struct WayRound {
  bool flip_u = false;    // the sheet's x runs against the raster's u
  bool flip_v = false;    // the sheet's y runs against the raster's v
  bool mirrored = false;  // the image is a mirror image of the sheet
  double prior = 0;       // sums to 1 over the ways
};

// Likeliest first; of equals the one with the lead edge at the top (or left, in an image that lies across).
// Scanners do not mirror, but drivers of printed-side-up devices may be set to: one image in twenty (common
// practice, no source). `lead_edge` leaves the ways out that contradict it.
std::vector<WayRound> ways_round(bool transposed, std::optional<ImageSide> lead_edge);

}  // namespace scrapetrace::page
