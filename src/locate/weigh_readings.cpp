#include "locate/weigh_readings.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace scrapetrace::locate_detail {

namespace {

constexpr double kLeastWorthAnAnswer = 0.005;  // of probability: less shows in no answer

// Log odds of a reading over the likeliest, from how they fit.
double log_odds(double misfit, const Misfit& of_likeliest) {
  return 0.5 * of_likeliest.freedom * (of_likeliest.per_freedom - misfit) / of_likeliest.per_freedom;
}

double weighed(double probability, double of_likeliest, double log_odds) {
  const double heard = probability * std::exp(std::clamp(log_odds, 0.0, 100.0));
  return std::max(probability, std::min(of_likeliest, heard));
}

}  // namespace

Misfit worst_misfit(const Explained& explained) {
  Misfit worst;
  for (const auto& group : explained) {
    if (group.explanations.empty()) continue;
    const auto best = std::min_element(group.explanations.begin(), group.explanations.end(),
                                       [](const auto& a, const auto& b) { return a.misfit < b.misfit; });
    if (best->misfit > worst.per_freedom) worst = {best->misfit, best->freedom};
  }
  return worst;
}

bool worth_reading(double probability, double probability_of_likeliest, const Misfit& misfit_of_likeliest) {
  return weighed(probability, probability_of_likeliest, log_odds(1, misfit_of_likeliest)) >=
         kLeastWorthAnAnswer;
}

std::vector<double> weigh_readings(std::vector<double> probabilities, const std::vector<Misfit>& misfits) {
  for (std::size_t k = 1; k < probabilities.size(); ++k) {
    probabilities[k] =
        weighed(probabilities[k], probabilities.front(), log_odds(misfits[k].per_freedom, misfits.front()));
  }
  const double sum = std::accumulate(probabilities.begin(), probabilities.end(), 0.0);
  for (double& p : probabilities) p /= sum;
  return probabilities;
}

}  // namespace scrapetrace::locate_detail
