#pragma once
// The level that a trace has by itself: a running median, which streaks narrower than half its window do not
// move.

#include <vector>

namespace scrapetrace::profile {

struct BaselineOptions {
  double window_mm = 40.0;  // more than twice the widest streak
  double cell_mm = 0.5;     // the median runs over means of cells of this width
};

// Of the samples [from, to), `pitch_mm` apart; between cell centres by straight lines. 0 elsewhere. Samples
// that are no numbers do not count; farther from all others than half a window, the level is none either.
std::vector<float> baseline(const std::vector<float>& values, int from, int to, double pitch_mm,
                            const BaselineOptions& options);

}  // namespace scrapetrace::profile
