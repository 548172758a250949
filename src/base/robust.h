#pragma once
// Order statistics that a few streaks cannot pull.

#include <cstddef>
#include <span>
#include <vector>

namespace scrapetrace {

// Middle of the values (the upper one of two); 0 for none.
double median(std::span<const double> values);

// 1.4826 times the median absolute deviation from `centre`: the standard deviation of a Gaussian.
double robust_sigma(std::span<const double> values, double centre);

// Running median of `values` over [i - reach, i + reach], windows cut off at the ends. Values that are no
// numbers do not count; where a window holds nothing else, the median is none either. The same for any
// number of threads.
std::vector<double> running_median(const std::vector<double>& values, std::size_t reach, int threads = 1);

}  // namespace scrapetrace
