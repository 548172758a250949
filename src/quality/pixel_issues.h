#pragma once
// What single pixels betray: clipping, background whitening, strong compression.

#include <optional>
#include <vector>

#include "quality/issue.h"
#include "scrapetrace/page.h"

namespace scrapetrace::quality {

// By the codes that occur and the steps between neighbours. A scanner's paper is never one single code: where
// much is full white and next to nothing nearly so, something whitened it.
std::vector<Issue> pixel_issues(const PixelStatistics& pixels);

// Compression so strong that it hides real streaks and draws false ones: such a scan is not analysed.
std::optional<Issue> hides_streaks(const PixelStatistics& pixels);

// How far, in pixels, a lossy coder carries what an edge does: its blocks, where they are rounded enough to
// matter; 0 otherwise.
double coder_smear_px(const PixelStatistics& pixels);

// Width of a streak of total loss that a coder's rounding may pass for one, pixels; 0 without such a coder.
double finest_beside_coder_px(const PixelStatistics& pixels);

// Mean step across the borders of a coder's blocks of 8 over the mean step inside them; 1 without blocks.
double blockiness(const PixelStatistics& pixels);

}  // namespace scrapetrace::quality
