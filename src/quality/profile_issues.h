#pragma once
// What the profiles across the drum betray: a pattern of the scanning, not of the press, and sheets that do
// not belong together.

#include <optional>
#include <vector>

#include "profile/ink_view.h"
#include "quality/issue.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::quality {

// Period, mm, of a regular fringe across the page that stands out of its surroundings in the spectrum of the
// ink loss (mean over the solids' views of each view's own): a screen and the scanner's lines beating.
// Streaks, jets and mottle are not regular; but jets lay each their columns with the steps of the interleave,
// which favours some periods, and that is allowed for. On up to `threads` threads; 0: as many as the
// processor runs at once.
std::optional<double> moire_period_mm(const profile::Strips& strips,
                                      const std::vector<profile::InkView>& views, const Layout& layout,
                                      int threads = 1);

std::vector<Issue> profile_issues(const profile::Strips& strips, const std::vector<profile::InkView>& views,
                                  const Layout& layout, int threads = 1);

}  // namespace scrapetrace::quality
