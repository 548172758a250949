#pragma once
// Issues that need the sheet's place: too coarse, out of focus, cropped, sharpened.

#include <vector>

#include "page/placement.h"
#include "quality/issue.h"

namespace scrapetrace::quality {

// `finest_mm` is the narrowest streak of total loss that the scan could show. The results here do not depend
// on `threads`.
std::vector<Issue> placed_issues(const PageRaster& raster, const Layout& layout, const page::Placement& place,
                                 double finest_mm, int threads = 1);

// The reach of a sharpening halo.
inline constexpr int kHaloReach_px = 7;

// Largest overshoot of the mean patch edge beyond its two levels, relative to the step, in linear light.
// Sharpening filters overshoot, lenses do not. 0 when too few edges show.
double edge_halo(const PageRaster& raster, const Layout& layout, const page::Placement& place,
                 int threads = 1);

}  // namespace scrapetrace::quality
