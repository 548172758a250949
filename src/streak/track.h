#pragma once
// Where along the sheet a streak shows: start, end and gaps.

#include <algorithm>
#include <vector>

#include "profile/ink_view.h"

namespace scrapetrace::streak {

struct Track {
  std::vector<Interval> y_mm;       // sheet; stretches that show it, in order
  std::vector<std::size_t> strips;  // strips that show it (indices into Strips::strips)
  std::vector<std::size_t> silent;  // strips that would show as much, and clearly do not
  double mean_loss = 0;             // over those strips
  double z = 0;                     // of mean_loss
  [[nodiscard]] bool shown_by(std::size_t strip) const {
    return std::find(strips.begin(), strips.end(), strip) != strips.end();
  }
};

// Mean loss over drum interval `x_mm` in each inked strip (of `ink` only, or of all for -1), then the one
// stretch of strips with the largest likelihood of a constant loss; the whole length wins ties within three
// log units. Inside it, strips that clearly lack the streak are gaps. `added` looks at bare paper instead.
Track track_streak(const profile::Strips& strips, const profile::InkViews& views, Interval x_mm, int ink,
                   bool added);

}  // namespace scrapetrace::streak
