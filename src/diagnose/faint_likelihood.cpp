#include "diagnose/faint_likelihood.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "diagnose/quadratic.h"

namespace scrapetrace::diagnose {

FaintLikelihood::FaintLikelihood(const ColumnEvidence& evidence, const Scene& scene) {
  const std::size_t n = scene.cells.size();
  thin_.ink = 0;
  thin_.share = {1.0};
  thin_.density.assign(n, 1 / std::numbers::ln10);
  whole_.kept.assign(1, std::vector<double>(n, 1.0));
  whole_.haze.assign(n, 0.0);
  standing_.emplace(thin_, whole_);
  evidence_.assign(n, 0.0);
  information_.assign(n * n, 0.0);
  const auto last_column = static_cast<int>(evidence.value.size()) - 1;
  std::vector<std::size_t> shown;  // cells that are a column of the drum
  int first = last_column;
  int last = 0;
  for (std::size_t c = 0; c < n; ++c) {
    const int column = scene.cells[c].column;
    if (column < 0 || column > last_column) continue;
    shown.push_back(c);
    first = std::min(first, column);
    last = std::max(last, column);
  }
  if (shown.empty()) return;
  const auto columns = static_cast<std::size_t>(last - first + 1);
  const std::vector<double> all = evidence.information(first, last);
  for (const std::size_t a : shown) {
    const auto row = static_cast<std::size_t>(scene.cells[a].column - first);
    evidence_[a] = evidence.value[static_cast<std::size_t>(scene.cells[a].column)];
    for (const std::size_t b : shown)
      information_[a * n + b] = all[row * columns + static_cast<std::size_t>(scene.cells[b].column - first)];
  }
}

StrengthFit FaintLikelihood::fit(const TrialCause& cause, std::size_t shift) const {
  const CellRange range = cause.range();
  const std::size_t n = evidence_.size();
  const std::size_t m = range.to - range.from;
  CellSignals signals;
  cause.signals(thin_, *standing_, 0, signals);
  std::vector<double> taken(m);  // of each cell, per strength
  for (std::size_t k = 0; k < m; ++k) taken[k] = signals.slope[k] * std::numbers::e;
  const double* block = information_.data() + range.from * n + range.from;
  const double pull = dot(taken.data(), evidence_.data() + range.from, m);
  const double information = quadratic_forms(block, n, m, taken.data(), taken.data()).aa;
  StrengthFit out;
  out.shift = shift;
  out.strength = std::clamp(pull / std::max(information, 1e-9), kFaintestLoss, cause.highest());
  out.chi_square = out.strength * (out.strength * information - 2 * pull);
  out.prior_unit = out.strength * std::log(1 / kFaintestLoss);
  out.information = information * out.prior_unit * out.prior_unit;
  return out;
}

}  // namespace scrapetrace::diagnose
