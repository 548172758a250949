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

// What is known of how the sheets lay.
struct Handling {
  std::optional<ImageSide> lead_edge;  // of the image at which the sheet's lead edge lies
  std::optional<bool> mirrored;        // whether the image is a mirror image of the sheet
};

// Likeliest first; of equals the one with the lead edge at the left. People lay one sheet in five with its
// lead edge at the bottom of the image, and in an image that lies across at either side alike. Nobody mirrors
// a scan by accident: one image in two thousand comes from a driver or a program that was set to (all three
// common practice, no source). `known` leaves out the ways that contradict it.
std::vector<WayRound> ways_round(bool transposed, const Handling& known);

}  // namespace scrapetrace::page
