#pragma once
// What is left of a screen's fringes where they were taken out of tints. It is no jets' pattern, keeps its
// phase over many samples, and passes for the skirts of a streak.

#include <vector>

#include "likelihood/pool.h"

namespace scrapetrace::diagnose {

// Covariance of the mean loss of a pool's views between places so many samples apart, as all that they show
// has it: fringes, jets and noise alike. Streaks count for no more than three standard deviations. As long as
// the pool's samples are; empty where no fringes were taken out.
std::vector<double> covariance_with_fringes(const profile::PreparedScan& scan, const Pool& pool);

}  // namespace scrapetrace::diagnose
