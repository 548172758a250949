#include <algorithm>
#include <cmath>
#include <set>

#include "diagnose/flood.h"
#include "diagnose/search.h"
#include "diagnose/trial_causes.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kFloodDepth = 8.0;
constexpr std::size_t kMostCells = 250;

struct Value {
  double score = -1e300;
  StrengthFit fit;
};

double null_log_likelihood(const SearchContext& context) {
  return -0.5 * chi_square_of(context.scene, context.state, unshifted(context.scene));
}

// The fit at the best trial shift, its prior included in `score`.
Value best_over_shifts(const SearchContext& context, const TrialCause& trial, double start) {
  Value best;
  for (std::size_t s = 0; s < context.scene.shift_mm.size(); ++s) {
    if (std::abs(context.scene.shift_mm[s]) > 2 * context.layout.px_mm()) continue;
    Value v;
    v.fit = fit_strength(context.scene, context.state, trial, s, start);
    v.score = v.fit.log_evidence() + context.scene.shift_log_prior[s];
    if (v.score > best.score) best = v;
  }
  return best;
}

bool sees_ink(const Scene& scene, std::size_t ink) {
  return std::any_of(scene.traces.begin(), scene.traces.end(), [&](const Trace& t) {
    return t.ink >= 0 && t.share[ink] > 0.2;
  });
}

double log_width_prior(const SearchContext& context, double width_mm, double step_mm) {
  return std::log(step_mm / (width_mm * std::log(context.priors.widest_mm / context.priors.narrowest_mm)));
}

// Sparse sweep over boxes of the region for a place to start.
template <class Evaluate>
Cell best_box(const SearchContext& context, double step_mm, const Evaluate& evaluate) {
  const int from = static_cast<int>(std::floor(context.region_mm.from_mm / step_mm));
  const int to = static_cast<int>(std::ceil(context.region_mm.to_mm / step_mm));
  Cell best{from, to - from};
  double most = -1e300;
  for (int width = 1; width <= to - from + 4; width += std::max(1, width / 3)) {
    for (int left = from - 2; left + width <= to + 2; left += std::max(1, width / 3)) {
      const double score = evaluate({left, width}).score;
      if (score > most) most = score, best = {left, width};
    }
  }
  return best;
}

}  // namespace

JetSearch search_jet(const SearchContext& context) {
  JetSearch out;
  const Scene& scene = context.scene;
  if (scene.traces.empty()) return out;
  std::set<std::pair<int, int>> jets;
  for (std::size_t c = 0; c < scene.owners.size(); ++c) {
    const auto& owner = scene.owners[c];
    const double x = scene.column_mm[c];
    const double slack = 2 * context.layout.px_mm() + scene.shift_mm.back();
    if (owner.nobody() || x < context.region_mm.from_mm - slack || x > context.region_mm.to_mm + slack) continue;
    jets.insert({owner.head, owner.jet});
  }
  double all_jets = 0;
  for (const Head& h : context.layout.heads) all_jets += h.jets * static_cast<double>(context.layout.inks.size());
  const double log_prior = std::log(context.priors.weak_jets / all_jets);
  const double null = null_log_likelihood(context);
  for (const auto& [head, jet] : jets) {
    std::vector<std::size_t> columns;
    for (int c : geometry::columns_of_jet(context.layout, context.columns, static_cast<std::size_t>(head), jet)) {
      const int k = c - scene.first_column;
      if (k >= 0 && k < static_cast<int>(scene.owners.size())) columns.push_back(static_cast<std::size_t>(k));
    }
    if (columns.empty()) continue;
    for (std::size_t ink = 0; ink < context.layout.inks.size(); ++ink) {
      if (!sees_ink(scene, ink)) continue;
      const Value v = best_over_shifts(context, JetTrial(ink, columns), 0.8);
      out.cells.push_back({static_cast<std::size_t>(head), ink, jet, v.fit.strength, v.score + log_prior - null,
                           v.fit.shift, v.fit.chi_square});
    }
  }
  std::stable_sort(out.cells.begin(), out.cells.end(),
                   [](const JetCell& a, const JetCell& b) { return a.log_weight > b.log_weight; });
  out.log_evidence = log_sum(out.cells);
  return out;
}

BoxSearchResult search_scratch(const SearchContext& context) {
  BoxSearchResult out;
  if (context.scene.traces.empty()) return out;
  const double px = context.layout.px_mm();
  const double step = px / 2;
  const double null = null_log_likelihood(context);
  const double log_prior = std::log(context.priors.scratches * step / context.layout.drum.width_mm);
  double start = 0.3;
  double best = -1e300;
  const auto evaluate = [&](Cell cell) {
    Value v;
    if (cell.second < 1 || cell.second * step > context.priors.widest_mm) return v;
    const ScratchTrial trial(context.scene, px, {cell.first * step, (cell.first + cell.second) * step});
    v.fit = fit_strength(context.scene, context.state, trial, unshifted(context.scene), start);
    v.score = v.fit.log_evidence() + log_prior + log_width_prior(context, cell.second * step, step) - null;
    if (v.score > best) best = v.score, start = v.fit.strength;
    return v;
  };
  const Cell begin = best_box(context, step, evaluate);
  for (const auto& [cell, v] : flood<Value>(begin, kFloodDepth, kMostCells, evaluate)) {
    if (v.score <= -1e299) continue;
    out.cells.push_back({{cell.first * step, (cell.first + cell.second) * step}, v.fit.strength, v.score, v.fit.shift,
                         v.fit.chi_square});
  }
  std::stable_sort(out.cells.begin(), out.cells.end(),
                   [](const BoxCell& a, const BoxCell& b) { return a.log_weight > b.log_weight; });
  out.log_evidence = log_sum(out.cells);
  return out;
}

BoxSearchResult search_haze(const SearchContext& context) {
  BoxSearchResult out;
  const bool paper = std::any_of(context.scene.traces.begin(), context.scene.traces.end(),
                                 [](const Trace& t) { return t.ink < 0; });
  if (!paper) return out;
  const double step = 0.2;
  const double null = null_log_likelihood(context);
  const double log_prior = std::log(context.priors.hazes * step / context.layout.drum.width_mm);
  double start = 0.05;
  double best = -1e300;
  const auto evaluate = [&](Cell cell) {
    Value v;
    const double width = cell.second * step;
    if (cell.second < 1 || width > 2 * context.priors.widest_mm) return v;
    const HazeTrial trial(context.scene, (cell.first + 0.5 * cell.second) * step, width);
    v.fit = fit_strength(context.scene, context.state, trial, unshifted(context.scene), start);
    v.score = v.fit.log_evidence() + log_prior + log_width_prior(context, width, step) - null;
    if (v.score > best) best = v.score, start = v.fit.strength;
    return v;
  };
  const Cell begin = best_box(context, step, evaluate);
  for (const auto& [cell, v] : flood<Value>(begin, kFloodDepth, kMostCells, evaluate)) {
    if (v.score <= -1e299) continue;
    out.cells.push_back({{cell.first * step, (cell.first + cell.second) * step}, v.fit.strength, v.score, v.fit.shift,
                         v.fit.chi_square});
  }
  std::stable_sort(out.cells.begin(), out.cells.end(),
                   [](const BoxCell& a, const BoxCell& b) { return a.log_weight > b.log_weight; });
  out.log_evidence = log_sum(out.cells);
  return out;
}

}  // namespace scrapetrace::diagnose
