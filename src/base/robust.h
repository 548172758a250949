#pragma once
// Order statistics, which a few streaks do not bias.

#include <cstddef>
#include <span>
#include <vector>

namespace scrapetrace {

// The median (the upper one of two middle values); 0 for none.
double median(std::span<const double> values);

// 1.4826 times the median absolute deviation from `centre`: the standard deviation of a Gaussian.
double robust_sigma(std::span<const double> values, double centre);

// Running median over [i - reach, i + reach], cut off at the ends. NaN does not count; a window of NaN alone
// gives NaN. The result does not depend on `threads`.
std::vector<double> running_median(const std::vector<double>& values, std::size_t reach, int threads = 1);

}  // namespace scrapetrace
