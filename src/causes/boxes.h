#pragma once
// The boxes that a search for a scratch or for haze tries: whole steps of place and width.

#include <algorithm>
#include <cmath>

#include "causes/best_first.h"
#include "causes/hypothesis.h"
#include "causes/search_context.h"

namespace scrapetrace::diagnose {

struct BoxValue {
  double score = -1e300;
  StrengthFit fit;
};

inline Interval interval_of(LatticePoint box, double step_mm) {
  return {box.first * step_mm, (box.first + box.second) * step_mm};
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

// Boxes that count, as hypotheses of strength and place: whole steps of `step_mm`, no wider than `widest_mm`.
// `expected` of them on a drum; make_trial(interval) is what a box does to the print, its strength first
// tried at `start`.
template <class Fault, class MakeTrial>
Hypotheses<Fault> search_boxes(const SearchContext& context, double step_mm, double widest_mm,
                               double expected, double start, const MakeTrial& make_trial) {
  constexpr double kDepth = 8.0;  // log units below the best box that still count
  constexpr std::size_t kMost = 250;
  const double null = -0.5 * context.evaluator.null_chi_square();
  const double log_prior = std::log(expected * step_mm / context.machine.layout.drum.width_mm);
  double best = -1e300;
  const auto evaluate = [&](LatticePoint box) {
    BoxValue v;
    const double width_mm = box.second * step_mm;
    if (box.second < 1 || width_mm > widest_mm) return v;
    v.fit = context.evaluator.fit(make_trial(interval_of(box, step_mm)), unshifted(context.scene()), start);
    v.score = v.fit.log_evidence() + log_prior + log_width_prior(context.priors, width_mm, step_mm) - null;
    if (v.score > best) best = v.score, start = v.fit.strength;
    return v;
  };
  Hypotheses<Fault> out;
  const LatticePoint begin = best_box(context, step_mm, evaluate);
  for (const auto& [box, v] : walk_best_first<BoxValue>(begin, kDepth, kMost, evaluate)) {
    if (v.score <= kNothingFound) continue;
    out.all.push_back({{interval_of(box, step_mm), v.fit.strength}, v.score, v.fit.shift, v.fit.chi_square});
  }
  out.sort();
  out.add_up();
  return out;
}

}  // namespace scrapetrace::diagnose
