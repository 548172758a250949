#include "base/quantiles.h"

#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>

namespace scrapetrace {

double gaussian_upper_quantile(double p) {
  return quantile(complement(boost::math::normal(), p));
}

double student_upper_quantile(double p, double degrees_of_freedom) {
  return quantile(complement(boost::math::students_t(degrees_of_freedom), p));
}

}  // namespace scrapetrace
