#pragma once
// What no reader beats: the matched filter's d' and the Cramer-Rao bound of the position.

#include "score/ideal_likelihood.h"

namespace scrapetrace::score {

// d' of the filter that knows the streak's shape and the noise: sqrt(h^T C^-1 h) for the change h of the
// light.
double matched_d_prime(const IdealLikelihood& unscraped, const Scrape& scrape);

// Standard deviation of the middle of the contact that no unbiased reader beats: the Cramer-Rao bound over
// (left end, right end, loss), its derivatives from steps of one column, and what the raster of whole columns
// leaves open: each end is known to a column only, px^2 / 12 each, so px^2 / 24 for their mean.
double position_bound_mm(const IdealLikelihood& likelihood, const Residue& truth);

}  // namespace scrapetrace::score
