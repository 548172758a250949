#pragma once
// Order statistics that a few streaks cannot pull.

#include <cstddef>
#include <vector>

namespace scrapetrace {

// Middle of the values (the upper one of two); 0 for none. Takes its argument to pieces.
double median(std::vector<double> values);

// 1.4826 times the median absolute deviation from `centre`: the standard deviation of a Gaussian.
double robust_sigma(const std::vector<double>& values, double centre);

// Running median of `values` over [i - reach, i + reach], windows cut off at the ends. Values that are no
// numbers do not count; where a window holds nothing else, the median is none either.
std::vector<double> running_median(const std::vector<double>& values, std::size_t reach);

// Upper quantiles: P(Z > z) = p for the standard Gaussian (Acklam's rational approximation with one Newton
// step, relative error below 1e-9), P(T > t) = p for Student's t (Hill 1970, Comm. ACM algorithm 396), and
// P(X > x) = p for chi square (Wilson and Hilferty 1931, Proc. Nat. Acad. Sci. 17:684, 3 % off at worst for p
// from 0.001 to 0.1).
double gaussian_upper_quantile(double p);
double student_upper_quantile(double p, double degrees_of_freedom);
double chi_square_upper_quantile(double p, double degrees_of_freedom);

}  // namespace scrapetrace
