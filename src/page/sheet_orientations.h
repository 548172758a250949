#pragma once
// The orientations in which a sheet can lie in a raster.

#include <optional>
#include <vector>

#include "scrapetrace/page.h"

namespace scrapetrace::page {

struct SheetOrientation {
  bool flip_u = false;    // the sheet's x is opposite to the raster's u
  bool flip_v = false;    // the sheet's y is opposite to the raster's v
  bool mirrored = false;  // the image is a mirror image of the sheet
  double prior = 0;       // sums to 1 over the orientations
};

// What the user says about the scans' orientation.
struct OrientationHints {
  std::optional<ImageSide> lead_edge;  // side of the image with the sheet's lead edge
  std::optional<bool> mirrored;        // whether the image is a mirror image
};

// Likeliest first; of equals the one with the lead edge at the left. Priors: one sheet in five has its lead
// edge at the bottom; images that lie across have it at either side alike; one in two thousand is mirrored by
// a driver or program (all three common practice, no source). `known` excludes contradicting orientations.
std::vector<SheetOrientation> sheet_orientations(bool transposed, const OrientationHints& known);

}  // namespace scrapetrace::page
