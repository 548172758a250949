#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "diagnose/flood.h"
#include "diagnose/search.h"
#include "diagnose/trial_causes.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kOtherFloodDepth = 8.0;
constexpr std::size_t kMostOtherCells = 250;

struct OtherValue {
  double score = -1e300;
  StrengthFit fit;
};

constexpr double kShiftWorthwhile = 20;  // log units from the best jet within which shifts are tried

bool sees_ink(const Scene& scene, std::size_t ink) {
  return std::any_of(scene.traces.begin(), scene.traces.end(),
                     [&](const Trace& t) { return t.ink >= 0 && t.share[ink] > 0.2; });
}

double log_width_prior(const SearchContext& context, double width_mm, double step_mm) {
  return std::log(step_mm / (width_mm * std::log(context.priors.widest_mm / context.priors.narrowest_mm)));
}

// Moves one end of a box at a time, by ever smaller strides, as long as that is better.
template <class Evaluate>
LatticePoint climb(LatticePoint box, const Evaluate& evaluate) {
  double most = evaluate(box).score;
  for (int stride = 8; stride > 0; stride /= 2) {
    for (bool moved = true; moved;) {
      moved = false;
      for (const LatticePoint& by :
           {LatticePoint{-stride, stride}, {stride, -stride}, {0, stride}, {0, -stride}}) {
        const LatticePoint to{box.first + by.first, box.second + by.second};
        if (to.second < 1) continue;
        const double score = evaluate(to).score;
        if (score > most) most = score, box = to, moved = true;
      }
    }
  }
  return box;
}

// A place to start: the best box of a sparse sweep over the region, or what the whole region leads to. Paper
// and mottle hide what is even, so that the ends tell nearly all: a sweep that misses both took a wide
// scratch for a hair at one of its ends, and its rest for residue.
template <class Evaluate>
LatticePoint best_box(const SearchContext& context, double step_mm, const Evaluate& evaluate) {
  const int from = static_cast<int>(std::floor(context.region_mm.from_mm / step_mm));
  const int to = static_cast<int>(std::ceil(context.region_mm.to_mm / step_mm));
  LatticePoint best{from, to - from};
  double most = -1e300;
  for (int width = 1; width <= to - from + 4; width += std::max(1, width / 3)) {
    for (int left = from - 2; left + width <= to + 2; left += std::max(1, width / 3)) {
      const double score = evaluate({left, width}).score;
      if (score > most) most = score, best = {left, width};
    }
  }
  const LatticePoint swept = climb(best, evaluate);
  const LatticePoint whole = climb({from, to - from}, evaluate);
  return evaluate(whole).score > evaluate(swept).score ? whole : swept;
}

}  // namespace

double log_prior_of_jet(const Layout& layout, const CausePriors& priors) {
  double jets = 0;
  for (const Head& head : layout.heads) jets += head.jets * static_cast<double>(layout.inks.size());
  return std::log(priors.weak_jets / jets);
}

JetSearch search_jet(const SearchContext& context) {
  JetSearch out;
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
  const double log_prior = log_prior_of_jet(context.layout, context.priors);
  const double null = -0.5 * context.evaluator.null_chi_square();
  double best = -1e300;
  for (const auto& jet : near) {
    for (std::size_t ink = 0; ink < context.layout.inks.size(); ++ink) {
      if (!sees_ink(scene, ink)) continue;
      const StrengthFit fit = context.evaluator.fit(JetTrial(ink, jets[jet]), unshifted(scene), 0.8);
      out.cells.push_back({static_cast<std::size_t>(jet.first), ink, jet.second, fit.strength,
                           fit.log_evidence() + log_prior - null, fit.shift, fit.chi_square});
      best = std::max(best, out.cells.back().log_weight);
    }
  }
  for (JetCell& c : out.cells) {
    if (c.log_weight < best - kShiftWorthwhile) continue;
    const JetTrial trial(c.ink, jets[{static_cast<int>(c.head), c.jet}]);
    const std::size_t shift = best_shift(context, trial, c.loss);
    if (shift == unshifted(scene)) continue;
    const StrengthFit fit = context.evaluator.fit(trial, shift, c.loss);
    const double weight = fit.log_evidence() + scene.shift_log_prior[shift] + log_prior - null;
    if (weight > c.log_weight) c = {c.head, c.ink, c.jet, fit.strength, weight, shift, fit.chi_square};
  }
  std::stable_sort(out.cells.begin(), out.cells.end(),
                   [](const JetCell& a, const JetCell& b) { return a.log_weight > b.log_weight; });
  out.log_evidence = log_sum(out.cells);
  return out;
}

BoxSearchResult search_scratch(const SearchContext& context) {
  BoxSearchResult out;
  if (context.scene().traces.empty()) return out;
  const double px = context.layout.px_mm();
  const double step = px / 2;
  const double null = -0.5 * context.evaluator.null_chi_square();
  const double log_prior = std::log(context.priors.scratches * step / context.layout.drum.width_mm);
  double start = 0.3;
  double best = -1e300;
  const auto evaluate = [&](LatticePoint cell) {
    OtherValue v;
    if (cell.second < 1 || cell.second * step > context.priors.widest_mm) return v;
    const ScratchTrial trial(context.scene(), {cell.first * step, (cell.first + cell.second) * step});
    v.fit = context.evaluator.fit(trial, unshifted(context.scene()), start);
    v.score = v.fit.log_evidence() + log_prior + log_width_prior(context, cell.second * step, step) - null;
    if (v.score > best) best = v.score, start = v.fit.strength;
    return v;
  };
  const LatticePoint begin = best_box(context, step, evaluate);
  for (const auto& [cell, v] : flood<OtherValue>(begin, kOtherFloodDepth, kMostOtherCells, evaluate)) {
    if (v.score <= -1e299) continue;
    out.cells.push_back({{cell.first * step, (cell.first + cell.second) * step},
                         v.fit.strength,
                         v.score,
                         v.fit.shift,
                         v.fit.chi_square});
  }
  std::stable_sort(out.cells.begin(), out.cells.end(),
                   [](const BoxCell& a, const BoxCell& b) { return a.log_weight > b.log_weight; });
  out.log_evidence = log_sum(out.cells);
  return out;
}

BoxSearchResult search_haze(const SearchContext& context) {
  BoxSearchResult out;
  const bool paper = std::any_of(context.scene().traces.begin(), context.scene().traces.end(),
                                 [](const Trace& t) { return t.ink < 0; });
  if (!paper) return out;
  // Ends of wide haze matter less, and each trial costs the more: a page's worth once took ten seconds.
  const double step = std::max(0.2, (context.region_mm.to_mm - context.region_mm.from_mm) / 40);
  const double null = -0.5 * context.evaluator.null_chi_square();
  const double log_prior = std::log(context.priors.hazes * step / context.layout.drum.width_mm);
  double start = 0.05;
  double best = -1e300;
  const auto evaluate = [&](LatticePoint cell) {
    OtherValue v;
    const double width = cell.second * step;
    if (cell.second < 1 || width > 2 * context.priors.widest_mm) return v;
    const HazeTrial trial(context.scene(), (cell.first + 0.5 * cell.second) * step, width);
    v.fit = context.evaluator.fit(trial, unshifted(context.scene()), start);
    v.score = v.fit.log_evidence() + log_prior + log_width_prior(context, width, step) - null;
    if (v.score > best) best = v.score, start = v.fit.strength;
    return v;
  };
  const LatticePoint begin = best_box(context, step, evaluate);
  for (const auto& [cell, v] : flood<OtherValue>(begin, kOtherFloodDepth, kMostOtherCells, evaluate)) {
    if (v.score <= -1e299) continue;
    out.cells.push_back({{cell.first * step, (cell.first + cell.second) * step},
                         v.fit.strength,
                         v.score,
                         v.fit.shift,
                         v.fit.chi_square});
  }
  std::stable_sort(out.cells.begin(), out.cells.end(),
                   [](const BoxCell& a, const BoxCell& b) { return a.log_weight > b.log_weight; });
  out.log_evidence = log_sum(out.cells);
  return out;
}

}  // namespace scrapetrace::diagnose
