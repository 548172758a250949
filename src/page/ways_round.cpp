#include "page/ways_round.h"

namespace scrapetrace::page {

namespace {
constexpr double kMirrored = 0.05;
}

std::vector<WayRound> ways_round(bool transposed, std::optional<ImageSide> lead_edge) {
  std::vector<WayRound> ways;
  double sum = 0;
  for (const bool mirrored : {false, true}) {
    for (const bool flip_v : {false, true}) {
      if (lead_edge && flip_v != (*lead_edge == ImageSide::bottom || *lead_edge == ImageSide::right))
        continue;
      // A raster read transposed is itself a mirror image.
      const bool flip_u = flip_v != (mirrored != transposed);
      ways.push_back({flip_u, flip_v, mirrored, mirrored ? kMirrored : 1 - kMirrored});
      sum += ways.back().prior;
    }
  }
  for (WayRound& way : ways) way.prior /= sum;
  return ways;
}

}  // namespace scrapetrace::page
