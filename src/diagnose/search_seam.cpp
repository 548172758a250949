#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "base/gaussian.h"
#include "diagnose/search.h"
#include "diagnose/trial_causes.h"

namespace scrapetrace::diagnose {

namespace {

// The likelihood has a kink at every column's end, so that the fit wants several starts.
constexpr std::array<double, 5> kStarts_mm{0.01, 0.03, 0.08, 0.18, 0.35};

constexpr double kBothOff = 0.3;  // that both heads stand off from where the print is placed by
constexpr double kEndStep_columns = 0.25;

// One way for two heads not to meet: from where to which side.
struct SeamCase {
  double end_mm = 0;
  int direction = 1;
  bool overlap = false;
  double part = 0.25;  // of the prior
};

// One head stands off, and the other one's ink ends where the layout has it: four cases, alike in prior.
std::vector<SeamCase> one_off(const geometry::SeamEnds& ends) {
  const double part = 0.25 * (1 - kBothOff);
  return {{ends.left_mm, 1, false, part},
          {ends.left_mm, -1, true, part},
          {ends.right_mm, -1, false, part},
          {ends.right_mm, 1, true, part}};
}

// Both may: then either end is free. A gap is about where all ink seems to be scratched off, an overlap about
// where the region was found.
std::vector<SeamCase> both_off(const BoxSearchResult& scratch, const Interval& region_mm, double px_mm) {
  constexpr int kSteps = 4;  // to each side
  std::vector<SeamCase> out;
  const double step_mm = kEndStep_columns * px_mm;
  const bool overlap = scratch.cells.empty();
  const double about_mm = overlap ? region_mm.from_mm : scratch.cells.front().x_mm.from_mm;
  for (int k = -kSteps; k <= kSteps; ++k)
    out.push_back({about_mm + k * step_mm, 1, overlap, kBothOff * step_mm / (2 * SeamTrial::kWidest_mm)});
  return out;
}

// Prior density of a gap's width: every seam is off from the layout by what the layout is not known better,
// and a few stand off farther.
double gap_density(const SearchContext& context, const geometry::SeamEnds& ends, double gap_mm) {
  const double far = context.priors.seam_mismatch / SeamTrial::kWidest_mm;
  const double sigma_mm = std::numbers::sqrt2 * context.layout.tolerance.place_mm;  // of two heads
  if (sigma_mm <= 0) return far;
  return far + gaussian_density((gap_mm - ends.gap_mm()) / sigma_mm) / sigma_mm;
}

SeamCell best_fit(const SearchContext& context, const geometry::Seam& seam, const geometry::SeamEnds& ends,
                  const SeamCase& which) {
  const Scene& scene = context.scene();
  const SeamTrial trial(scene, ends, which.end_mm, which.direction, which.overlap);
  StrengthFit best;
  best.chi_square = 1e300;
  for (const double start_mm : kStarts_mm) {
    const StrengthFit fit = context.evaluator.fit(trial, unshifted(scene), start_mm);
    if (fit.chi_square < best.chi_square) best = fit;
  }
  const std::size_t shift = best_shift(context, trial, best.strength);
  const double null = -0.5 * context.evaluator.null_chi_square();
  const auto log_prior_of = [&](double width_mm) {
    return std::log(which.part * gap_density(context, ends, which.overlap ? -width_mm : width_mm));
  };
  double weight =
      best.log_evidence() + scene.shift_log_prior[unshifted(scene)] + log_prior_of(best.strength) - null;
  if (shift != unshifted(scene)) {
    const StrengthFit moved = context.evaluator.fit(trial, shift, best.strength);
    const double there =
        moved.log_evidence() + scene.shift_log_prior[shift] + log_prior_of(moved.strength) - null;
    if (there > weight) weight = there, best = moved;
  }
  SeamCell out;
  out.left_head = seam.left_head;
  out.right_head = seam.right_head;
  out.by_layout = ends;
  out.x_mm = trial.interval_mm(best.strength);
  out.gap_mm = which.overlap ? -best.strength : best.strength;
  out.log_weight = weight;
  out.shift = best.shift;
  out.chi_square = best.chi_square;
  return out;
}

}  // namespace

SeamSearch search_seam(const SearchContext& context, const BoxSearchResult& scratch) {
  SeamSearch out;
  if (context.scene().traces.empty()) return out;
  const Layout& layout = context.layout;
  for (const geometry::Seam& seam : context.columns.seams()) {
    const geometry::SeamEnds ends = geometry::seam_ends(layout, seam);
    if (std::max(ends.left_mm, ends.right_mm) < context.region_mm.from_mm - SeamTrial::kWidest_mm ||
        std::min(ends.left_mm, ends.right_mm) > context.region_mm.to_mm + SeamTrial::kWidest_mm)
      continue;
    for (const auto& cases : {one_off(ends), both_off(scratch, context.region_mm, layout.px_mm())}) {
      for (const SeamCase& which : cases) out.cells.push_back(best_fit(context, seam, ends, which));
    }
  }
  std::stable_sort(out.cells.begin(), out.cells.end(),
                   [](const SeamCell& a, const SeamCell& b) { return a.log_weight > b.log_weight; });
  out.log_evidence = log_sum(out.cells);
  return out;
}

}  // namespace scrapetrace::diagnose
