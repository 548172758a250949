#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "diagnose/search.h"
#include "diagnose/trial_causes.h"

namespace scrapetrace::diagnose {

namespace {

// The likelihood has a kink at every column's end, so that the fit wants several starts.
constexpr std::array<double, 5> kStarts_mm{0.01, 0.03, 0.08, 0.18, 0.35};

constexpr double kBothOff = 0.3;  // that both heads stand off from where the print is placed by
constexpr double kEndStep_columns = 0.25;

// One way for two heads not to meet: where it starts, and in which direction it goes on.
struct SeamCase {
  double at_mm = 0;
  int direction = 1;
  bool nearer = false;
  double part = 0.25;  // of the prior
};

// Which head stands off, and which way: four cases, alike in prior. A head that stands farther off leaves
// bare its own end, where the layout has it; one that stands nearer reaches beyond it. `left_end_mm` is where
// the left head's ink ends, `right_end_mm` where the right head's begins.
std::vector<SeamCase> one_off(double left_end_mm, double right_end_mm) {
  const double part = 0.25 * (1 - kBothOff);
  return {{right_end_mm, 1, false, part},
          {left_end_mm, -1, false, part},
          {right_end_mm, -1, true, part},
          {left_end_mm, 1, true, part}};
}

// Both may: then either end is free. A gap is about where all ink seems to be scratched off, an overlap about
// where the region was found.
std::vector<SeamCase> both_off(const BoxSearchResult& scratch, const Interval& region_mm, double px_mm) {
  constexpr int kSteps = 4;  // to each side
  std::vector<SeamCase> out;
  const double step_mm = kEndStep_columns * px_mm;
  const bool nearer = scratch.cells.empty();
  const double about_mm = nearer ? region_mm.from_mm : scratch.cells.front().x_mm.from_mm;
  for (int k = -kSteps; k <= kSteps; ++k)
    out.push_back({about_mm + k * step_mm, 1, nearer, kBothOff * step_mm / (2 * SeamTrial::kWidest_mm)});
  return out;
}

SeamCell best_fit(const SearchContext& context, const geometry::Seam& seam, double gap_mm,
                  const SeamCase& which) {
  const Scene& scene = context.scene();
  const SeamTrial trial(scene, which.at_mm, which.direction, which.nearer);
  StrengthFit best;
  best.chi_square = 1e300;
  for (const double start_mm : kStarts_mm) {
    const StrengthFit fit = context.evaluator.fit(trial, unshifted(scene), start_mm);
    if (fit.chi_square < best.chi_square) best = fit;
  }
  const std::size_t shift = best_shift(context, trial, best.strength);
  const double null = -0.5 * context.evaluator.null_chi_square();
  const double log_prior = std::log(which.part * context.priors.seam_mismatch / SeamTrial::kWidest_mm);
  double weight = best.log_evidence() + scene.shift_log_prior[unshifted(scene)] + log_prior - null;
  if (shift != unshifted(scene)) {
    const StrengthFit moved = context.evaluator.fit(trial, shift, best.strength);
    const double there = moved.log_evidence() + scene.shift_log_prior[shift] + log_prior - null;
    if (there > weight) weight = there, best = moved;
  }
  const double apart_mm = which.nearer ? -best.strength : best.strength;
  return {seam.left_head, seam.right_head,   trial.interval_mm(best.strength),
          apart_mm,       gap_mm + apart_mm, weight,
          best.shift,     best.chi_square};
}

}  // namespace

SeamSearch search_seam(const SearchContext& context, const BoxSearchResult& scratch) {
  SeamSearch out;
  if (context.scene().traces.empty()) return out;
  const Layout& layout = context.layout;
  for (const geometry::Seam& seam : context.columns.seams()) {
    const double middle_mm = (seam.seam + 1) * layout.px_mm();
    const double left_mm = middle_mm + layout.carriages[layout.heads[seam.left_head].carriage].offset_mm;
    const double right_mm = middle_mm + layout.carriages[layout.heads[seam.right_head].carriage].offset_mm;
    if (std::max(left_mm, right_mm) < context.region_mm.from_mm - SeamTrial::kWidest_mm ||
        std::min(left_mm, right_mm) > context.region_mm.to_mm + SeamTrial::kWidest_mm)
      continue;
    for (const auto& cases :
         {one_off(left_mm, right_mm), both_off(scratch, context.region_mm, layout.px_mm())}) {
      for (const SeamCase& which : cases)
        out.cells.push_back(best_fit(context, seam, right_mm - left_mm, which));
    }
  }
  std::stable_sort(out.cells.begin(), out.cells.end(),
                   [](const SeamCell& a, const SeamCell& b) { return a.log_weight > b.log_weight; });
  out.log_evidence = log_sum(out.cells);
  return out;
}

}  // namespace scrapetrace::diagnose
