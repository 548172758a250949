#pragma once
// Whether an eye would see what a case really drew.

#include "score/case.h"

namespace scrapetrace::score {

// Contrast (scrapetrace/sight.h) of the residue's streak by the forward model; 0 without residue.
double true_contrast(const Case& drawn);

}  // namespace scrapetrace::score
