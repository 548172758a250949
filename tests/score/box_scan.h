#pragma once
// A matched filter that knows the noise, but neither place nor width of a box: tried at every place with
// every width, its maximum decides.

namespace scrapetrace::score {

// Chance that a matched filter at the right place and of the right width is above its threshold:
// Q(threshold - d'). Kay, Fundamentals of Statistical Signal Processing II, 1998, section 4.3 (from memory).
double matched_filter_share(double d_prime, double threshold);

// In steps of the raster.
struct BoxScan {
  double steps = 0;  // of the page
  double narrowest = 1;
  double widest = 100;
};

// Expected number of clumps above the threshold, of white Gaussian noise alone:
// steps c phi(c) / 2 times the integral of x nu(x)^2 over x from c / sqrt(widest) to c / sqrt(narrowest).
// Siegmund, Ann. Statist. 16 (1988), and Siegmund and Venkatraman, Ann. Statist. 23 (1995), for boxes that
// are short beside the page. 20 times as many as of independent cells, for boxes from 5 steps on.
double expected_alarms(const BoxScan& scan, double threshold);

// That noise passes `alarms` times.
double scan_threshold(const BoxScan& scan, double alarms);

// Chance that a box of `width` steps is found. Each end may wander from the right place: the filter's gain is
// a random walk with drift, whose maximum over both directions of one end exceeds y with probability 2 nu
// e^(-c y) - nu^2 e^(-2 c y), c the threshold, nu = nu(c / sqrt(width)). M the sum for both ends, t = c - d':
// P = Q(t) + phi(t) (E e^(t M) - 1) / t.
double scanned_share(double d_prime, double threshold, double width);

// d' at which `share` of boxes of that width are found.
double d_prime_for(double share, double threshold, double width);

}  // namespace scrapetrace::score
