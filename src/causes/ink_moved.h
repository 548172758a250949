#pragma once
// How much ink a further cause takes away or adds where somebody could see it.

#include "likelihood/likelihood.h"

namespace scrapetrace::diagnose {

// Ink that differs between two states: fraction kept or haze, summed over inks and over the length (mm) of
// the cells of which some trace shows ink. In a gap between patches, or beyond what the traces cover, a cause
// may take all there is and be missed by nobody.
double ink_moved(const Scene& scene, const InkState& before, const InkState& after);

}  // namespace scrapetrace::diagnose
