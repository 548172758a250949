#pragma once
// Issues visible in the profiles: moire from scanning, and sheets that do not belong together.

#include <optional>
#include <vector>

#include "profile/ink_view.h"
#include "quality/issue.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::quality {

// Period, mm, of a regular fringe across the page, from a peak in the spectrum of the ink loss (mean over the
// views of solids): moire between a screen and the scanner. Streaks, jets and mottle are not regular, but the
// interleave gives jets preferred periods, which are allowed for. `threads` 0: one per hardware thread.
std::optional<double> moire_period_mm(const profile::Strips& strips,
                                      const std::vector<profile::InkView>& views, const Layout& layout,
                                      int threads = 1);

std::vector<Issue> profile_issues(const profile::Strips& strips, const std::vector<profile::InkView>& views,
                                  const Layout& layout, int threads = 1);

}  // namespace scrapetrace::quality
