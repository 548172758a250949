#pragma once
// What must hold between the parts of a layout, once each part by itself is well formed.

#include "layout/layout_places.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::layout {

// Names and zones that occur twice, carriages at one angle, priors that are all 0.
void check_parts(const Layout& layout, const LayoutPlaces& places, ProblemList& problems);

// True when shift_px modulo jet_pitch_px gives every remainder once. Requires both well formed.
bool check_interleave(const Layout& layout, const LayoutPlaces& places, ProblemList& problems);

// Heads on the drum, and every column between them printed. Requires the drum, raster, carriages and heads
// well formed and the interleave complete.
void check_coverage(const Layout& layout, const LayoutPlaces& places, ProblemList& problems);

}  // namespace scrapetrace::layout
