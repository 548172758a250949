#pragma once
// Means and shares with intervals, and how good probabilities are.

#include <cstdint>
#include <vector>

#include "score/summary.h"

namespace scrapetrace::score {

// A share with Wilson's interval (Wilson, J. Am. Stat. Assoc. 22, 1927). `hits` may be in parts.
Estimate share(double hits, int cases);

// A mean with its percentile bootstrap interval (Efron 1979), 1000 resamples.
Estimate bootstrap_mean(const std::vector<double>& values, std::uint64_t seed);

// A stated probability and whether it came true.
struct Claim {
  double probability = 0;
  bool right = false;
};

// Bins of equal mass, ties kept together. Murphy's parts (J. Appl. Meteorol. 12, 1973): Brier = reliability -
// resolution + uncertainty, exact when all claims of a bin are alike. Calibration error: mean over claims of
// |mean probability - share right| of their bin. By chance: 1000 draws by `seed`, each claim true with its
// own probability, independently.
Calibration calibrate(std::vector<Claim> claims, int bins, std::uint64_t seed);

double brier(const std::vector<Claim>& claims);     // mean of (probability - right)^2
double log_loss(const std::vector<Claim>& claims);  // mean of -log(probability of what happened)

// -log of what was given to the truth, at most -log(1e-4): what is not named is not believed impossible.
double loss_of(const std::vector<double>& given, int truth);

// Probabilities that either of two independent reasons holds, place by place; an empty list holds none.
std::vector<double> together(const std::vector<double>& a, const std::vector<double>& b);

// Expected share of `truth` among the first `places`, ties drawn: (places - those above) / those level.
double among_first(const std::vector<double>& probabilities, int truth, int places);

}  // namespace scrapetrace::score
