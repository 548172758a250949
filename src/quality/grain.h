#pragma once
// Detects pages that were never printed and scanned.

#include <optional>
#include <vector>

#include "profile/ink_view.h"
#include "quality/issue.h"

namespace scrapetrace::quality {

// Noise of the inked areas across the page, as a fraction of the ink: the standard deviation from the median
// of second differences at 0.4 mm, median over stretches of 10 mm, then over views. Varying jets, paper,
// mottle and scanner noise contribute; slopes and the few steps of a computed gradient do not.
double grain(const profile::Strips& strips, const std::vector<profile::InkView>& inked);

// An issue for a page without grain: it is no scan of a print.
std::optional<Issue> no_grain(const profile::Strips& strips, const std::vector<profile::InkView>& inked);

}  // namespace scrapetrace::quality
