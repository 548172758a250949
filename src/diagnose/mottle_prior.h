#pragma once
// Mottle at equally spaced knots, before a page is seen.

#include <array>
#include <cstddef>
#include <vector>

namespace scrapetrace::diagnose {

inline constexpr std::size_t kMottleOrder = 3;

// The precision matrix of mottle of variance 1 at `knots` places `step` correlation lengths apart: row k
// holds the entries (k, k), (k, k - 1), ... Mottle's covariance is exp(-d^2 / 2) over d correlation lengths;
// here it is the autoregression of order kMottleOrder that has this covariance over so many steps, because
// its precision is a band (Rue and Held, Gaussian Markov Random Fields, 2005, section 1.3.5).
std::vector<std::array<double, kMottleOrder + 1>> mottle_precision(std::size_t knots, double step);

}  // namespace scrapetrace::diagnose
