#include "score/box_scan.h"

#include <cmath>

#include "base/gaussian.h"

namespace scrapetrace::score {

namespace {

// What the steps of a random walk take from the maximum of a continuous one. Siegmund and Yakir, The
// Statistics of Gene Mapping, 2007, formula 5.2 (from memory); its series agrees to a percent.
double nu(double x) {
  constexpr double kContinuous = 1e-6;
  if (x < kContinuous) return 1;
  const double half = 0.5 * x;
  return (2 / x) * (gaussian_share(half) - 0.5) / (half * gaussian_share(half) + gaussian_density(half));
}

// Where a monotonic function passes `wanted`, by bisection.
template <class Function>
double where(double from, double to, double wanted, const Function& function) {
  constexpr int kHalvings = 60;
  const bool rising = function(to) > function(from);
  for (int k = 0; k < kHalvings; ++k) {
    const double middle = 0.5 * (from + to);
    ((function(middle) < wanted) == rising ? from : to) = middle;
  }
  return 0.5 * (from + to);
}

}  // namespace

double matched_filter_share(double d_prime, double threshold) {
  return gaussian_share(d_prime - threshold);
}

double expected_alarms(const BoxScan& scan, double threshold) {
  constexpr int kParts = 400;  // midpoints: far finer than nu is known
  const double from = threshold / std::sqrt(scan.widest);
  const double part = (threshold / std::sqrt(scan.narrowest) - from) / kParts;
  double integral = 0;
  for (int k = 0; k < kParts; ++k) {
    const double x = from + (k + 0.5) * part;
    integral += x * nu(x) * nu(x) * part;
  }
  return scan.steps * 0.5 * threshold * gaussian_density(threshold) * integral;
}

double scan_threshold(const BoxScan& scan, double alarms) {
  constexpr double kLeast = 2;  // from where on alarms get fewer
  constexpr double kMost = 12;
  return where(kLeast, kMost, alarms, [&](double c) { return expected_alarms(scan, c); });
}

double scanned_share(double d_prime, double threshold, double width) {
  constexpr double kLevel = 1e-4;
  double t = threshold - d_prime;
  if (std::abs(t) < kLevel) t = kLevel;
  const double steps = nu(threshold / std::sqrt(width));
  const double one_end = 1 + t * (2 * steps / d_prime - steps * steps / (threshold + d_prime));
  return gaussian_share(-t) + gaussian_density(t) * (one_end * one_end - 1) / t;
}

double d_prime_for(double share, double threshold, double width) {
  return where(1, 3 * threshold, share, [&](double d) { return scanned_share(d, threshold, width); });
}

}  // namespace scrapetrace::score
