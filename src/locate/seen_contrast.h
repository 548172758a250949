#pragma once
// Whether a person would see a streak: by what the scans' pixels show of it, not by what explains it best.

#include <vector>

#include "diagnose/diagnose_region.h"

namespace scrapetrace::locate_detail {

// Contrast (scrapetrace/sight.h) of the mean loss that the strips measure across the streak's place, on the
// scan that shows most of it. A dead jet's is that of its own ink. Ink added is drawn by its explanation:
// bare paper is too uneven to measure haze in single samples.
double seen_contrast(const Layout& layout, const std::vector<profile::PreparedScan>& scans,
                     const diagnose::Explanation& explanation);

}  // namespace scrapetrace::locate_detail
