#pragma once
// The standard Gaussian.

#include <cmath>
#include <numbers>

namespace scrapetrace {

inline double gaussian_density(double z) {
  return std::exp(-0.5 * z * z) / std::sqrt(2 * std::numbers::pi);
}

// P(Z < z).
inline double gaussian_share(double z) {
  return 0.5 * std::erfc(-z / std::numbers::sqrt2);
}

}  // namespace scrapetrace
