#include "diagnose/split_contact.h"

#include <array>

#include "diagnose/trial_causes.h"
#include "geometry/contact.h"

namespace scrapetrace::diagnose {

namespace {

constexpr std::array<double, 6> kParts{0.15, 0.3, 0.45, 0.6, 0.75, 0.9};  // of the whole, that one may take
constexpr int kTurns = 3;  // of their strengths, each given the other

ResidueTrial trial_of(const Layout& layout, const geometry::ColumnMap& columns, const Scene& scene,
                      const ResidueCell& cell) {
  return ResidueTrial(
      scene,
      geometry::count_touches(layout, columns, {cell.carriage, cell.downstream, cell.x_mm, cell.width_mm}));
}

}  // namespace

std::pair<ResidueCell, ResidueCell> split_contact(const Layout& layout, const geometry::ColumnMap& columns,
                                                  Evaluator& evaluator, const ResidueCell& whole) {
  const Scene& scene = evaluator.scene();
  const InkState untouched_ink = untouched(layout, scene);
  std::pair<ResidueCell, ResidueCell> best{whole, whole};
  double least = 1e300;
  for (const double left_part : kParts) {
    for (const double right_part : kParts) {
      ResidueCell left = whole;
      ResidueCell right = whole;
      left.width_mm = left_part * whole.width_mm;
      right.width_mm = right_part * whole.width_mm;
      right.x_mm = whole.x_mm + whole.width_mm - right.width_mm;
      const ResidueTrial left_trial = trial_of(layout, columns, scene, left);
      const ResidueTrial right_trial = trial_of(layout, columns, scene, right);
      const auto fit_given = [&](const ResidueTrial& given, double loss, const ResidueTrial& fitted,
                                 ResidueCell& cell) {
        InkState state = untouched_ink;
        given.apply(loss, state);
        evaluator.set_state(state);
        const StrengthFit fit = evaluator.fit(fitted, whole.shift, cell.loss);
        cell.loss = fit.strength;
        cell.chi_square = fit.chi_square;
      };
      for (int turn = 0; turn < kTurns; ++turn) {
        fit_given(left_trial, left.loss, right_trial, right);
        fit_given(right_trial, right.loss, left_trial, left);
      }
      if (left.chi_square < least) least = left.chi_square, best = {left, right};
    }
  }
  return best;
}

}  // namespace scrapetrace::diagnose
