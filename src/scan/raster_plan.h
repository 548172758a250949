#pragma once
// The raster's layout as it follows from page size, resolution and options. Its maker uses it, and so does
// the check of a worker's reply.

#include "scan/read_page.h"

namespace scrapetrace::scan {

inline constexpr int kLargestSide_px = 200000;

// The resolution in dpi if it can be true, else 0: outside the range of scanners, or a value that programs
// write for "none" (25.4, 72 and 96 dpi).
double believable_dpi(double pixels_per_mm);

// Whether the upright image lies across: the lead edge is said to be at its side, the known sheet would be
// turned, or it is wider than the drum.
bool lies_across(int width, int height, double dpi_across, const ReadOptions& options);

// `tag_dpi` along; 0: none.
int rows_per_block(int height_px, double tag_dpi, const ReadOptions& options);

// Pixels per side of an overview cell.
int px_per_cell(int width_px, int height_px);

// Rows that the pixel statistics sample: every eighth.
int sampled_rows(int height_px);

// The finest resolution to which a photo is rectified.
inline constexpr double kMostFlat_dpi = 1200;

}  // namespace scrapetrace::scan
