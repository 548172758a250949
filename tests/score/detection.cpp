#include "score/detection.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/gaussian.h"
#include "score/box_scan.h"
#include "score/statistics.h"

namespace scrapetrace::score {

namespace {

constexpr double kNormal90 = 1.281552;

// Of P = Phi(slope (log d' - middle)), P at least 1e-12.
double log_likelihood(const std::vector<Trial>& trials, double slope, double middle) {
  constexpr double kNearlyImpossible = 1e-12;
  double sum = 0;
  for (const Trial& t : trials) {
    const double eta = slope * (std::log(t.d_prime) - middle);
    sum += std::log(std::max(gaussian_share(t.found ? eta : -eta), kNearlyImpossible));
  }
  return sum;
}

// Golden section: a probit's log likelihood is concave.
double likeliest_middle(const std::vector<Trial>& trials, double slope) {
  double from = 1e300;
  double to = -1e300;
  for (const Trial& t : trials) {
    from = std::min(from, std::log(t.d_prime) - 3 / slope);
    to = std::max(to, std::log(t.d_prime) + 3 / slope);
  }
  constexpr double kGolden = std::numbers::phi - 1;
  constexpr double kNear = 1e-4;
  while (to - from > kNear) {
    const double left = to - kGolden * (to - from);
    const double right = from + kGolden * (to - from);
    if (log_likelihood(trials, slope, left) < log_likelihood(trials, slope, right)) {
      from = left;
    } else {
      to = right;
    }
  }
  return 0.5 * (from + to);
}

}  // namespace

double d_prime_at_90(const std::vector<Trial>& trials) {
  constexpr double kGentlest = 0.5;  // slopes: from shares that hardly rise over the trials
  constexpr double kSteepest = 20;   // to an edge, which trials that part ask for
  const auto found = std::count_if(trials.begin(), trials.end(), [](const Trial& t) { return t.found; });
  if (found < 3 || static_cast<std::size_t>(found) + 3 > trials.size()) return 0;
  double most = -1e300;
  double best = kGentlest;
  const auto look = [&](double from, double to, double factor) {
    for (double slope = from; slope <= to; slope *= factor) {
      const double likelihood = log_likelihood(trials, slope, likeliest_middle(trials, slope));
      if (likelihood > most) most = likelihood, best = slope;
    }
  };
  constexpr double kCoarse = 1.15;
  look(kGentlest, kSteepest, kCoarse);
  look(best / kCoarse, std::min(best * kCoarse, kSteepest), 1.01);
  return std::exp(likeliest_middle(trials, best) + kNormal90 / best);
}

DetectionRow detection_row(const std::string& widths, std::vector<Trial> trials, const Bound& bound,
                           int bins) {
  DetectionRow row;
  row.widths = widths;
  row.cases = static_cast<int>(trials.size());
  row.at_90 = d_prime_at_90(trials);
  row.bound_at_90 = d_prime_for(0.9, bound.threshold, bound.width);
  for (double d = 1; d < 3 * bound.threshold; d *= 1.05)
    row.bound.emplace_back(d, scanned_share(d, bound.threshold, bound.width));
  std::sort(trials.begin(), trials.end(),
            [](const Trial& x, const Trial& y) { return x.d_prime < y.d_prime; });
  std::size_t from = 0;
  for (int k = 1; k <= bins; ++k) {
    const std::size_t to = trials.size() * static_cast<std::size_t>(k) / static_cast<std::size_t>(bins);
    if (to <= from) continue;
    DetectionBin bin;
    double hits = 0;
    for (std::size_t i = from; i < to; ++i) {
      const auto size = static_cast<double>(to - from);
      bin.d_prime += std::log(trials[i].d_prime) / size;
      bin.bound += scanned_share(trials[i].d_prime, bound.threshold, bound.width) / size;
      hits += trials[i].found ? 1 : 0;
    }
    bin.d_prime = std::exp(bin.d_prime);
    bin.found = share(hits, static_cast<int>(to - from));
    row.bins.push_back(bin);
    from = to;
  }
  return row;
}

}  // namespace scrapetrace::score
