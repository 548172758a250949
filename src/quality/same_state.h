#pragma once
// Checks that scans given together show one machine in one state.

#include <optional>
#include <vector>

#include "profile/ink_view.h"
#include "quality/issue.h"

namespace scrapetrace::quality {

// Mean loss over all inks, in bins across the drum.
struct Across {
  double first_mm = 0;  // left end of bin 0
  std::vector<double> loss;
  std::vector<double> views;  // per bin, number of views; 0: not seen
  double noise = 0;           // robust standard deviation of the bins
};
inline constexpr double kAcrossBin_mm = 0.25;
Across across_drum(const profile::Strips& strips, const std::vector<profile::InkView>& views);

// A loss far above a scan's noise that no other scan shows although it could, or one that all other scans
// show and this one lacks.
std::optional<Issue> other_state(const Across& scan, const std::vector<Across>& others);

}  // namespace scrapetrace::quality
