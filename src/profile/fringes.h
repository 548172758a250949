#pragma once
// Fringes: a tint's screen in regular cells, or its beat with the raster or the scanner's lines, as far as it
// does not average out along the sheet. Each is a sharp line in a profile's spectrum, which streaks, jets and
// grain do not have.

#include <cstddef>
#include <span>
#include <vector>

namespace scrapetrace::profile {

struct FringeOptions {
  double longest_mm = 8.0;  // of a period; a longer one might be streaks in a row
  double drift_mm = 100.0;  // over which a fringe may change its size and phase: scanners are not even
  double stands_out = 40;   // power over the median nearby; noise alone has hardly ever such a line
  int rounds = 3;           // strong fringes hide weak ones
  int most = 80;            // fringes in one round
};

// Samples [from, to) are used: signals over paper, and their level.
struct TintProfile {
  std::vector<float>& values;
  const std::vector<float>& base;
  std::size_t from = 0;
  std::size_t to = 0;
};

// Evens out the profiles of one patch's strips in one channel, samples `pitch_mm` apart: the light that the
// ink takes at each place is divided by what the fringes make of it. Returns how many fringes there were:
// found in the mean of all strips, because what slants across them cancels there, and measured in each. At
// the samples `breaks`, ascending, a fringe may jump: where the print itself does. What a streak has of a
// fringe's own period goes with it; a single sample loses 4 pitch_mm / drift_mm of itself with each.
int take_out_fringes(std::span<const TintProfile> strips, std::span<const std::size_t> breaks,
                     double pitch_mm, const FringeOptions& options);

}  // namespace scrapetrace::profile
