#pragma once
// A pass that lands beside its place. One column of each jet then stays bare and its neighbour is printed
// twice, in all inks of the carriage's heads: a comb that repeats at the jets' pitch from one end of a head
// to the other, which streaks, jets and grain do not.

#include <cstddef>
#include <span>
#include <vector>

#include "profile/fringes.h"

namespace scrapetrace::profile {

// What one head prints of the profiles.
struct HeadSpan {
  std::size_t carriage = 0;
  double from = 0;  // samples, [from, to)
  double to = 0;
};

struct PassCombOptions {
  double pitch = 0;   // samples between one jet's neighbours,
  double column = 0;  // and in a column of the raster
  double blur = 0.7;  // of the scan, samples
  int periods = 41;   // whose median is taken: long against a streak, short against a scale that drifts
  int fewest = 16;    // periods that say anything
  double least_share =
      0.1;  // of a column that shows bare once a period: ink that spreads leaves a quarter and more
  double stands_out = 8;     // standard deviations of what noise leaves of such a share
  double least_heads = 0.5;  // parts of a carriage's heads, in all inks, that show it
};

// Evens out the profiles, one group for all strips of a patch in one channel, of every carriage whose heads
// show such a comb. The light that the ink takes is divided by what the comb makes of it: a scrape takes its
// part of what is there. Returns whether each carriage showed one. A streak keeps what it does not share with
// half of the `periods` around it.
std::vector<bool> take_out_pass_combs(std::span<const std::vector<TintProfile>> groups,
                                      std::span<const HeadSpan> heads, std::size_t carriages,
                                      const PassCombOptions& options);

}  // namespace scrapetrace::profile
