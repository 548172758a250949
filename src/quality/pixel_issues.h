#pragma once
// Issues visible in single pixels: clipping, whitened background, strong compression.

#include <optional>
#include <vector>

#include "quality/issue.h"
#include "scrapetrace/page.h"

namespace scrapetrace::quality {

// Judges by code histogram and steps between neighbours. Paper never has a single code: where much is full
// white and almost nothing nearly so, software whitened it.
std::vector<Issue> pixel_issues(const PixelStatistics& pixels);

// Compression that hides real streaks and creates false ones; such a scan is not analysed.
std::optional<Issue> hides_streaks(const PixelStatistics& pixels);

// How far, in pixels, a lossy coder spreads an edge: its block size when quantisation is coarse enough to
// matter, else 0.
double coder_smear_px(const PixelStatistics& pixels);

// Width, in pixels, of a streak of total loss that quantisation may imitate; 0 without a lossy coder.
double finest_beside_coder_px(const PixelStatistics& pixels);

// Mean step across borders of 8 x 8 blocks over the mean step inside; 1 without blocks.
double blockiness(const PixelStatistics& pixels);

}  // namespace scrapetrace::quality
