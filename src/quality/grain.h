#pragma once
// Whether a page was printed and scanned at all.

#include <optional>
#include <vector>

#include "profile/ink_view.h"
#include "quality/issue.h"

namespace scrapetrace::quality {

// How restless the inked areas are across the page: the part of the ink by which samples of a view scatter,
// as a standard deviation from the median of second differences at 0.4 mm; median over stretches of 10 mm and
// then over views. Jets that lay more or less than others, paper, mottle and the scanner's noise all add to
// it. Slopes and the few steps of a drawn shade do not.
double grain(const profile::Strips& strips, const std::vector<profile::InkView>& inked);

// A page without a trace of that is no scan of a print.
std::optional<Issue> no_grain(const profile::Strips& strips, const std::vector<profile::InkView>& inked);

}  // namespace scrapetrace::quality
