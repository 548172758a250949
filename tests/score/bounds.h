#pragma once
// What no reader beats: the matched filter's d' and the Cramer-Rao bound of the position.

#include "score/ideal_likelihood.h"

namespace scrapetrace::score {

// d' of the filter that knows shape and noise: sqrt(h^T C^-1 h), h the change of the light.
double matched_d_prime(const IdealLikelihood& unscraped, const Scrape& scrape);

// Standard deviation of the contact's middle that no unbiased reader beats: the Cramer-Rao bound over (left
// end, right end, loss), with derivatives from steps of one column, and px^2 / 24 for the raster: each end is
// known to a column only, px^2 / 12.
double position_bound_mm(const IdealLikelihood& likelihood, const Residue& truth);

}  // namespace scrapetrace::score
