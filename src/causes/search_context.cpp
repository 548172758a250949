#include "causes/search_context.h"

#include <algorithm>
#include <cmath>

namespace scrapetrace::diagnose {

double log_width_prior(const CausePriors& priors, double width_mm, double step_mm) {
  return std::log(step_mm / (width_mm * std::log(priors.widest_mm / priors.narrowest_mm)));
}

double trial_chi_square(const SearchContext& context, const TrialCause& trial, double strength,
                        std::size_t shift) {
  const CellRange range = trial.range();
  std::vector<std::vector<double>> signals;
  CellSignals changed;
  for (std::size_t t = 0; t < context.scene().traces.size(); ++t) {
    const Standing& standing = context.evaluator.standing(t);
    signals.push_back(standing.signal);
    trial.signals(context.scene().traces[t], standing, strength, changed);
    std::copy(changed.signal.begin(), changed.signal.end(),
              signals.back().begin() + static_cast<std::ptrdiff_t>(range.from));
  }
  return context.evaluator.direct_chi_square(signals, shift);
}

std::size_t best_shift(const SearchContext& context, const TrialCause& trial, double strength) {
  const Scene& scene = context.scene();
  std::size_t best = unshifted(scene);
  double most = -1e300;
  for (std::size_t s = 0; s < scene.shift_mm.size(); ++s) {
    if (std::abs(scene.shift_mm[s]) > kTrialReach_columns * scene.px_mm) continue;
    const double score = scene.shift_log_prior[s] - 0.5 * trial_chi_square(context, trial, strength, s);
    if (score > most) most = score, best = s;
  }
  return best;
}

}  // namespace scrapetrace::diagnose
