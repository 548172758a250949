#pragma once
// Order statistics of many values, which stay where they are.

#include <cstddef>
#include <span>

namespace scrapetrace {

// How many values are less.
std::size_t count_less(std::span<const double> values, double than);

// The value that `k` of the others (k < values.size()) come before in order of size. Values should be
// numbers; none may come out where some are not.
double nth_value(std::span<const double> values, std::size_t k);

// The same of the values' distances from `centre`.
double nth_distance(std::span<const double> values, double centre, std::size_t k);

}  // namespace scrapetrace
