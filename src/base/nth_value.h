#pragma once
// Order statistics of many values, without copying them.

#include <cstddef>
#include <span>

namespace scrapetrace {

// How many values are less than `than`.
std::size_t count_less(std::span<const double> values, double than);

// The k-th smallest value, k < values.size(). NaN may result when a value is NaN.
double nth_value(std::span<const double> values, std::size_t k);

// The k-th smallest distance from `centre`.
double nth_distance(std::span<const double> values, double centre, std::size_t k);

}  // namespace scrapetrace
