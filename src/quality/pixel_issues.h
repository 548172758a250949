#pragma once
// What single pixels betray: clipping, background whitening, strong compression.

#include <vector>

#include "quality/issue.h"
#include "scrapetrace/page.h"

namespace scrapetrace::quality {

// By the codes that occur and the steps between neighbours. A scanner's paper is never one single code: where
// much is full white and next to nothing nearly so, something whitened it.
std::vector<Issue> pixel_issues(const PixelStatistics& pixels);

// Mean step across the borders of a coder's blocks of 8 over the mean step inside them; 1 without blocks.
double blockiness(const PixelStatistics& pixels);

}  // namespace scrapetrace::quality
