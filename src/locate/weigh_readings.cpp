#include "locate/weigh_readings.h"

#include <algorithm>
#include <numeric>

namespace scrapetrace::locate_detail {

namespace {
constexpr double kLeastWorthAnAnswer = 0.005;  // of probability: less shows in no answer
constexpr double kExplained = 2.0;             // chi square per degree of freedom: down to the noise
constexpr double kBetterBy = 2.0;              // that many times less than the likeliest way leaves
}  // namespace

double worst_misfit(const Explained& explained) {
  double worst = 1;
  for (const auto& group : explained) {
    if (group.explanations.empty()) continue;
    const auto best = std::min_element(group.explanations.begin(), group.explanations.end(),
                                       [](const auto& a, const auto& b) { return a.misfit < b.misfit; });
    worst = std::max(worst, best->misfit);
  }
  return worst;
}

bool worth_reading(double probability, double misfit_of_likeliest) {
  return probability >= kLeastWorthAnAnswer || misfit_of_likeliest > kExplained;
}

std::vector<double> weigh_readings(std::vector<double> probabilities, const std::vector<double>& misfits) {
  for (std::size_t k = 1; k < probabilities.size(); ++k) {
    if (misfits[k] < kExplained && misfits.front() > kExplained && misfits.front() > kBetterBy * misfits[k])
      probabilities[k] = std::max(probabilities[k], probabilities.front());
  }
  const double sum = std::accumulate(probabilities.begin(), probabilities.end(), 0.0);
  for (double& p : probabilities) p /= sum;
  return probabilities;
}

}  // namespace scrapetrace::locate_detail
