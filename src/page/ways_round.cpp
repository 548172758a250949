#include "page/ways_round.h"

namespace scrapetrace::page {

namespace {
constexpr double kMirrored = 1.0 / 2000;
constexpr double kLeadEdgeBelow = 0.2;
constexpr double kLeadEdgeRight = 0.5;  // of an image that lies across
}  // namespace

std::vector<WayRound> ways_round(bool transposed, const Handling& known) {
  std::vector<WayRound> ways;
  double sum = 0;
  const double away = transposed ? kLeadEdgeRight : kLeadEdgeBelow;
  for (const bool mirrored : {false, true}) {
    if (known.mirrored && mirrored != *known.mirrored) continue;
    for (const bool flip_v : {false, true}) {
      if (known.lead_edge &&
          flip_v != (*known.lead_edge == ImageSide::bottom || *known.lead_edge == ImageSide::right))
        continue;
      // A raster read transposed is itself a mirror image.
      const bool flip_u = flip_v != (mirrored != transposed);
      ways.push_back(
          {flip_u, flip_v, mirrored, (mirrored ? kMirrored : 1 - kMirrored) * (flip_v ? away : 1 - away)});
      sum += ways.back().prior;
    }
  }
  for (WayRound& way : ways) way.prior /= sum;
  return ways;
}

}  // namespace scrapetrace::page
