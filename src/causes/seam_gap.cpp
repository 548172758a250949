#include "causes/seam_gap.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "base/gaussian.h"

namespace scrapetrace::diagnose {

namespace {

// Density of one layer of ink: where the layout has none, that of the nearest cell to the left that has.
double one_layer(const Scene& scene, const Trace& trace, std::size_t c) {
  while (c > 0 && scene.cells[c].layers == 0) --c;
  return scene.cells[c].layers == 0 ? 0 : trace.density[c] / scene.cells[c].layers;
}

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
std::vector<SeamCase> both_off(const Hypotheses<ScratchFault>& scratch, const Interval& region_mm,
                               double px_mm) {
  constexpr int kSteps = 4;  // to each side
  std::vector<SeamCase> out;
  const double step_mm = kEndStep_columns * px_mm;
  const bool overlap = scratch.empty();
  const double about_mm = overlap ? region_mm.from_mm : scratch.all.front().x_mm.from_mm;
  for (int k = -kSteps; k <= kSteps; ++k)
    out.push_back({about_mm + k * step_mm, 1, overlap, kBothOff * step_mm / (2 * SeamTrial::kWidest_mm)});
  return out;
}

// Prior density of a gap's width: every seam is off from the layout by what the layout is not known better,
// and a few stand off farther.
double gap_density(const SearchContext& context, const geometry::SeamEnds& ends, double gap_mm) {
  const double far = context.priors.seam_mismatch / SeamTrial::kWidest_mm;
  const double sigma_mm = std::numbers::sqrt2 * context.machine.layout.tolerance.place_mm;  // of two heads
  if (sigma_mm <= 0) return far;
  return far + gaussian_density((gap_mm - ends.gap_mm()) / sigma_mm) / sigma_mm;
}

SeamHypothesis best_fit(const SearchContext& context, const geometry::Seam& seam,
                        const geometry::SeamEnds& ends, const SeamCase& which) {
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
  SeamHypothesis out;
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

SeamTrial::SeamTrial(const Scene& scene, const geometry::SeamEnds& by_layout, double end_mm, int direction,
                     bool overlap)
    : scene_(scene), end_mm_(end_mm), direction_(direction), overlap_(overlap) {
  const Interval most = interval_mm(kWidest_mm);
  const double from_mm = std::min({most.from_mm, by_layout.left_mm, by_layout.right_mm});
  const double to_mm = std::max({most.to_mm, by_layout.left_mm, by_layout.right_mm});
  range_.from = scene.cells.size();
  for (std::size_t c = 0; c < scene.cells.size(); ++c) {
    if (scene.cells[c].to_mm <= from_mm || scene.cells[c].from_mm >= to_mm) continue;
    range_.from = std::min(range_.from, c);
    range_.to = c + 1;
  }
  range_.from = std::min(range_.from, range_.to);
}

Interval SeamTrial::interval_mm(double width_mm) const {
  return direction_ > 0 ? Interval{end_mm_, end_mm_ + width_mm} : Interval{end_mm_ - width_mm, end_mm_};
}

double SeamTrial::part_of(const Cell& cell, double width_mm) const {
  const Interval x = interval_mm(width_mm);
  const double inside = std::min(x.to_mm, cell.to_mm) - std::max(x.from_mm, cell.from_mm);
  return std::max(0.0, inside) / (cell.to_mm - cell.from_mm);
}

void SeamTrial::signals(const Trace& trace, const Standing& before, double width_mm, CellSignals& out) const {
  out.clear(range_);
  for (std::size_t c = range_.from; c < range_.to; ++c) {
    const std::size_t k = c - range_.from;
    const Cell& cell = scene_.cells[c];
    const double haze = before.haze[c];
    out.signal[k] = haze;
    if (trace.ink < 0) continue;
    const double amount = before.amount[c];
    const double density = one_layer(scene_, trace, c);
    const double whole = cell_signal(density, trace.coverage, amount);
    const double changed = overlap_ ? cell_signal(density, trace.coverage, 2 * amount) : 1.0;
    const double part = part_of(cell, width_mm);
    out.signal[k] = haze * ((1 - part) * whole + part * changed);
    // Never without a slope, or a width on a cell's end would pass for one that is not known at all.
    const double end = direction_ > 0 ? end_mm_ + width_mm : end_mm_ - width_mm;
    const bool ends_here =
        direction_ > 0 ? end >= cell.from_mm && end < cell.to_mm : end > cell.from_mm && end <= cell.to_mm;
    if (ends_here) out.slope[k] = haze * (changed - whole) / (cell.to_mm - cell.from_mm);
  }
}

void SeamTrial::apply(double width_mm, InkState& state) const {
  for (std::size_t c = range_.from; c < range_.to; ++c) {
    const Cell& cell = scene_.cells[c];
    if (cell.layers == 0) continue;  // where there is nothing, there is nothing to keep
    const double part = part_of(cell, width_mm);
    for (auto& kept : state.kept) kept[c] *= (1 - part + part * (overlap_ ? 2 : 0)) / cell.layers;
  }
}

Hypotheses<SeamFault> search_seam(const SearchContext& context, const Hypotheses<ScratchFault>& scratch) {
  Hypotheses<SeamFault> out;
  if (context.scene().traces.empty()) return out;
  const Layout& layout = context.machine.layout;
  for (const geometry::Seam& seam : context.machine.columns.seams()) {
    const geometry::SeamEnds ends = geometry::seam_ends(layout, seam);
    if (std::max(ends.left_mm, ends.right_mm) < context.region_mm.from_mm - SeamTrial::kWidest_mm ||
        std::min(ends.left_mm, ends.right_mm) > context.region_mm.to_mm + SeamTrial::kWidest_mm)
      continue;
    for (const auto& cases : {one_off(ends), both_off(scratch, context.region_mm, layout.px_mm())}) {
      for (const SeamCase& which : cases) out.all.push_back(best_fit(context, seam, ends, which));
    }
  }
  out.sort();
  out.add_up();
  return out;
}

// Where ink is missing or lies twice; which head's end that starts from makes no difference.
void apply(const geometry::Machine& /*machine*/, const Scene& scene, const SeamFault& fault,
           InkState& state) {
  SeamTrial(scene, fault.by_layout, fault.x_mm.from_mm, 1, fault.gap_mm < 0)
      .apply(std::abs(fault.gap_mm), state);
}

}  // namespace scrapetrace::diagnose
