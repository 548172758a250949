#pragma once
// Upper quantiles: what a statistic passes with probability p, 0 < p < 1.

namespace scrapetrace {

double gaussian_upper_quantile(double p);
double student_upper_quantile(double p, double degrees_of_freedom);

}  // namespace scrapetrace
