#pragma once
// What follows for a raster from its page's size, its resolution and the options: for whoever makes it, and
// for whoever is to believe it.

#include "scan/read_page.h"

namespace scrapetrace::scan {

inline constexpr int kLargestSide_px = 200000;

// A resolution that can be true, in dpi, else 0: out of the range of scanners, or one of those that stand for
// "no tag" in what programs write and loaders report (25.4, 72 and 96 dpi).
double believable_dpi(double pixels_per_mm);

// Which way the upright image lies: across when the lead edge is said to be at a side of it, when the known
// sheet would be turned, or when it is wider than the drum.
bool lies_across(int width, int height, double dpi_across, const ReadOptions& options);

// `tag_dpi` along; 0: none.
int rows_per_block(int height_px, double tag_dpi, const ReadOptions& options);

// Pixels of the longer side in a cell's side of the overview.
int px_per_cell(int width_px, int height_px);

// Rows of an image that its pixel statistics rest on: every eighth.
int sampled_rows(int height_px);

// The finest resolution that a photo is made flat at.
inline constexpr double kMostFlat_dpi = 1200;

}  // namespace scrapetrace::scan
