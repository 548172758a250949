#pragma once
// What shows once the sheet's place is known: too coarse, out of focus, cropped, sharpened.

#include <vector>

#include "page/placement.h"
#include "quality/issue.h"

namespace scrapetrace::quality {

// `finest_mm` is the narrowest streak of total loss that the scan could show. Neither this nor what follows
// depends on `threads`.
std::vector<Issue> placed_issues(const PageRaster& raster, const Layout& layout, const page::Placement& place,
                                 double finest_mm, int threads = 1);

// How far from an edge sharpening leaves its halo.
inline constexpr int kHaloReach_px = 7;

// Largest excursion of the mean edge of the patches beyond the levels on its two sides, as a share of the
// step, in linear light: what a sharpening filter adds, and no lens does. 0 when too few edges are seen.
double edge_halo(const PageRaster& raster, const Layout& layout, const page::Placement& place,
                 int threads = 1);

}  // namespace scrapetrace::quality
