#include "page/sheet_orientations.h"

namespace scrapetrace::page {

namespace {
constexpr double kMirrored = 1.0 / 2000;
constexpr double kLeadEdgeBelow = 0.2;
constexpr double kLeadEdgeRight = 0.5;  // prior for an image that lies across
}  // namespace

std::vector<SheetOrientation> sheet_orientations(bool transposed, const OrientationHints& known) {
  std::vector<SheetOrientation> ways;
  double sum = 0;
  const double away = transposed ? kLeadEdgeRight : kLeadEdgeBelow;
  for (const bool mirrored : {false, true}) {
    if (known.mirrored && mirrored != *known.mirrored) continue;
    for (const bool flip_v : {false, true}) {
      if (known.lead_edge &&
          flip_v != (*known.lead_edge == ImageSide::bottom || *known.lead_edge == ImageSide::right))
        continue;
      // A transposed raster is itself mirrored.
      const bool flip_u = flip_v != (mirrored != transposed);
      ways.push_back(
          {flip_u, flip_v, mirrored, (mirrored ? kMirrored : 1 - kMirrored) * (flip_v ? away : 1 - away)});
      sum += ways.back().prior;
    }
  }
  for (SheetOrientation& way : ways) way.prior /= sum;
  return ways;
}

}  // namespace scrapetrace::page
