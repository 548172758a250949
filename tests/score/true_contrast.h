#pragma once
// Whether an eye would see what a case really drew.

#include "score/case.h"

namespace scrapetrace::score {

// Contrast (scrapetrace/sight.h) of the streak that the case's residue draws on the patches that it crosses,
// by the forward model; 0 without residue.
double true_contrast(const Case& drawn);

}  // namespace scrapetrace::score
