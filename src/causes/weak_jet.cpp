#include "causes/weak_jet.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace scrapetrace::diagnose {

namespace {

constexpr double kShiftWorthwhile = 20;  // log units from the best jet within which shifts are tried

bool sees_ink(const Scene& scene, std::size_t ink) {
  return std::any_of(scene.traces.begin(), scene.traces.end(),
                     [&](const Trace& t) { return t.ink >= 0 && t.share[ink] > 0.2; });
}

}  // namespace

JetTrial::JetTrial(std::size_t ink, std::vector<std::size_t> cells) : ink_(ink), cells_(std::move(cells)) {
  if (!cells_.empty()) range_ = {cells_.front(), cells_.back() + 1};
}

void JetTrial::signals(const Trace& trace, const Standing& before, double loss, CellSignals& out) const {
  out.clear(range_);
  std::size_t next = 0;
  for (std::size_t c = range_.from; c < range_.to; ++c) {
    const std::size_t k = c - range_.from;
    const bool own = next < cells_.size() && cells_[next] == c;
    if (own) ++next;
    out.signal[k] = before.signal[c];
    if (trace.ink < 0 || !own) continue;
    const double share = trace.share[ink_] * before.state.kept[ink_][c];
    const double amount = before.amount[c] - share * loss;
    const CellResponse cell = cell_response(trace.density[c], trace.coverage, amount);
    out.signal[k] = before.haze[c] * cell.signal;
    if (share > 0) out.slope[k] = -before.haze[c] * cell.slope * share;
  }
}

void JetTrial::apply(double loss, InkState& state) const {
  for (std::size_t c : cells_) state.kept[ink_][c] *= 1 - loss;
}

std::vector<std::size_t> jet_cells(const Scene& scene, std::size_t head, int jet) {
  std::vector<std::size_t> out;
  for (std::size_t k = 0; k < scene.cells.size(); ++k) {
    const auto& owner = scene.cells[k].owner;
    if (owner.head == static_cast<int>(head) && owner.jet == jet) out.push_back(k);
  }
  return out;
}

double log_prior_of_jet(const Layout& layout, const CausePriors& priors) {
  double jets = 0;
  for (const Head& head : layout.heads) jets += head.jets * static_cast<double>(layout.inks.size());
  return std::log(priors.weak_jets / jets);
}

Hypotheses<JetFault> search_jet(const SearchContext& context) {
  Hypotheses<JetFault> out;
  const Scene& scene = context.scene();
  if (scene.traces.empty()) return out;
  std::map<std::pair<int, int>, std::vector<std::size_t>> jets;  // cells by (head, jet)
  std::set<std::pair<int, int>> near;
  const double slack = 2 * scene.px_mm + std::min(scene.shift_mm.back(), 2 * scene.px_mm);
  for (std::size_t c = 0; c < scene.cells.size(); ++c) {
    const Cell& cell = scene.cells[c];
    if (cell.owner.nobody()) continue;
    const std::pair jet{static_cast<int>(cell.owner.head), static_cast<int>(cell.owner.jet)};
    jets[jet].push_back(c);
    const double x = cell.middle_mm();
    if (x >= context.region_mm.from_mm - slack && x <= context.region_mm.to_mm + slack) near.insert(jet);
  }
  const double log_prior = log_prior_of_jet(context.machine.layout, context.priors);
  const double null = -0.5 * context.evaluator.null_chi_square();
  double best = -1e300;
  for (const auto& jet : near) {
    for (std::size_t ink = 0; ink < context.machine.layout.inks.size(); ++ink) {
      if (!sees_ink(scene, ink)) continue;
      const StrengthFit fit = context.evaluator.fit(JetTrial(ink, jets[jet]), unshifted(scene), 0.8);
      out.all.push_back({{static_cast<std::size_t>(jet.first), ink, jet.second, fit.strength},
                         fit.log_evidence() + log_prior - null,
                         fit.shift,
                         fit.chi_square});
      best = std::max(best, out.all.back().log_weight);
    }
  }
  for (JetHypothesis& c : out.all) {
    if (c.log_weight < best - kShiftWorthwhile) continue;
    const JetTrial trial(c.ink, jets[{static_cast<int>(c.head), c.jet}]);
    const std::size_t shift = best_shift(context, trial, c.loss);
    if (shift == unshifted(scene)) continue;
    const StrengthFit fit = context.evaluator.fit(trial, shift, c.loss);
    const double weight = fit.log_evidence() + scene.shift_log_prior[shift] + log_prior - null;
    if (weight > c.log_weight) c = {{c.head, c.ink, c.jet, fit.strength}, weight, shift, fit.chi_square};
  }
  out.sort();
  out.add_up();
  return out;
}

void apply(const geometry::Machine& /*machine*/, const Scene& scene, const JetFault& fault, InkState& state) {
  JetTrial(fault.ink, jet_cells(scene, fault.head, fault.jet)).apply(fault.loss, state);
}

}  // namespace scrapetrace::diagnose
