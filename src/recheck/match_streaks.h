#pragma once
// Matches streaks before and after.

#include <optional>
#include <vector>

#include "scrapetrace/recheck.h"

namespace scrapetrace::recheck_detail {

struct Position {
  double x_mm = 0;  // drum
  double sigma_mm = 0;
};

// How far `after` is to the right of `before`, with standard deviation: by contact when both are residue on
// the same carriage, else by the middle of the visible streak.
Position distance(const Layout& layout, const Streak& before, const Streak& after);

// match[b] is the index of the after streak for before.streaks[b]: nearest pairs first, each streak once,
// within three standard deviations and half a column, or half the change in width when middles are compared.
std::vector<std::optional<std::size_t>> match_streaks(const Layout& layout, const Findings& before,
                                                      const Findings& after);

// The same for moved residue: unmatched, of similar width, within `reach_mm`, its old place empty or partly
// covered by the new streak.
void match_moved(const Layout& layout, const Findings& before, const Findings& after, double reach_mm,
                 const std::vector<bool>& place_is_empty, std::vector<std::optional<std::size_t>>& match);

}  // namespace scrapetrace::recheck_detail
