#pragma once
// Consistency checks between the parts of a layout, each valid by itself.

#include "layout/layout_places.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::layout {

// Duplicate names and zones, carriages at one angle, priors that are all 0.
void check_parts(const Layout& layout, const LayoutPlaces& places, ProblemList& problems);

// Whether shift_px modulo jet_pitch_px takes every value once. Requires both valid.
bool check_interleave(const Layout& layout, const LayoutPlaces& places, ProblemList& problems);

// Heads on the drum, all columns between them printed. Requires valid drum, raster, carriages and heads, and
// a complete interleave.
void check_coverage(const Layout& layout, const LayoutPlaces& places, ProblemList& problems);

}  // namespace scrapetrace::layout
