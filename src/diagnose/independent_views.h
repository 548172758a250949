#pragma once
// Channels of an overprint see the same inks, each in other parts, and so the same grain: their noise is not
// independent, and information added up over them would be counted more than once.

#include <vector>

#include "diagnose/patch_losses.h"

namespace scrapetrace::diagnose {

// Puts combinations of them in the place of a patch's views, such that their noise is independent by what
// their residuals show: with the covariance S^1/2 R S^1/2, S the views' variances and R = L L^T the
// correlation of the residuals, losses and shares y become S^1/2 L^-1 S^-1/2 y. The first view stays as it
// is, variances do; shares no longer add up to 1, and may be negative. `residuals` per view, grid-sized. The
// answers do not depend on the threads.
void make_independent(const std::vector<std::vector<double>>& residuals, std::vector<PatchLoss>& views,
                      int threads = 1);

// Correlation of pairs by the spread of their standardised sums and differences (Gnanadesikan and Kettenring,
// Biometrics 28, 1972): streaks do not count. 0 for too few pairs, or if either is constant.
double robust_correlation(const std::vector<double>& a, const std::vector<double>& b);

}  // namespace scrapetrace::diagnose
