#pragma once
// Upper quantiles: the value that a statistic exceeds with probability p, 0 < p < 1.

namespace scrapetrace {

double gaussian_upper_quantile(double p);
double student_upper_quantile(double p, double degrees_of_freedom);

}  // namespace scrapetrace
