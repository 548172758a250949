#include "causes/split_contact.h"

#include <algorithm>
#include <array>
#include <vector>

#include "geometry/contact.h"

namespace scrapetrace::diagnose {

namespace {

constexpr std::array<double, 6> kParts{0.15, 0.3, 0.45, 0.6, 0.75, 0.9};  // of the whole, that one may take
// By wide steps from every start, and from so many of the best of what they lead to by narrow ones.
constexpr std::size_t kMostNarrow = 3;
constexpr std::array kWide_columns{6, 3};
constexpr std::array kNarrow_columns{2, 1};
constexpr int kTurns = 2;  // of the strengths, each given the other

struct Pair {
  ResidueHypothesis left;
  ResidueHypothesis right;
  [[nodiscard]] double chi_square() const { return left.chi_square; }  // of both, the left one fitted last
};

// Fits the strengths of pairs.
class PairFit {
 public:
  PairFit(const geometry::Machine& machine, Evaluator& evaluator)
      : machine_(machine), evaluator_(evaluator), whole_(untouched(machine.layout, evaluator.scene())) {}

  void fit(Pair& pair) const {
    const ResidueTrial left = trial_of(pair.left);
    const ResidueTrial right = trial_of(pair.right);
    for (int turn = 0; turn < kTurns; ++turn) {
      fit_given(left, pair.left.loss, right, pair.right);
      fit_given(right, pair.right.loss, left, pair.left);
    }
  }

 private:
  [[nodiscard]] ResidueTrial trial_of(const ResidueHypothesis& cell) const {
    return ResidueTrial(evaluator_.scene(),
                        geometry::count_touches(machine_.layout, machine_.columns,
                                                {cell.carriage, cell.downstream, cell.x_mm, cell.width_mm}));
  }

  void fit_given(const ResidueTrial& given, double loss, const ResidueTrial& fitted,
                 ResidueHypothesis& cell) const {
    InkState state = whole_;
    given.apply(loss, state);
    evaluator_.set_state(state);
    const StrengthFit fit = evaluator_.fit(fitted, cell.shift, cell.loss);
    cell.loss = fit.strength;
    cell.chi_square = fit.chi_square;
  }

  const geometry::Machine& machine_;
  Evaluator& evaluator_;
  InkState whole_;
};

// A carriage and a side of its jets.
struct Bearer {
  std::size_t carriage = 0;
  bool downstream = false;
};

// All that travel as one carriage does: the streak's ramps tell that already.
std::vector<Bearer> travelling_as(const Layout& layout, std::size_t carriage) {
  std::vector<Bearer> out;
  for (std::size_t q = 0; q < layout.carriages.size(); ++q) {
    if (layout.carriages[q].travel != layout.carriages[carriage].travel) continue;
    out.push_back({q, false});
    out.push_back({q, true});
  }
  return out;
}

ResidueHypothesis by(ResidueHypothesis cell, const Bearer& bearer) {
  cell.carriage = bearer.carriage;
  cell.downstream = bearer.downstream;
  return cell;
}

// From a coarse grid over how much of the whole each contact takes: for each part of the left one the best
// right one.
std::vector<Pair> starts(const PairFit& fit, const ResidueHypothesis& whole) {
  std::vector<Pair> out;
  for (const double left_part : kParts) {
    Pair best{whole, whole};
    best.left.chi_square = 1e300;
    for (const double right_part : kParts) {
      Pair pair{whole, whole};
      pair.left.width_mm = left_part * whole.width_mm;
      pair.right.width_mm = right_part * whole.width_mm;
      pair.right.x_mm = whole.x_mm + whole.width_mm - pair.right.width_mm;
      fit.fit(pair);
      if (pair.chi_square() < best.chi_square()) best = pair;
    }
    out.push_back(best);
  }
  return out;
}

// The same contacts on any carriages, on either side of the jets.
std::vector<Pair> by_all(const PairFit& fit, const std::vector<Bearer>& bearers, const Pair& pair) {
  std::vector<Pair> out;
  for (const Bearer& left : bearers) {
    for (const Bearer& right : bearers) {
      out.push_back({by(pair.left, left), by(pair.right, right)});
      fit.fit(out.back());
    }
  }
  return out;
}

void keep_best(std::size_t most, std::vector<Pair>& pairs) {
  std::stable_sort(pairs.begin(), pairs.end(),
                   [](const Pair& a, const Pair& b) { return a.chi_square() < b.chi_square(); });
  if (pairs.size() > most) pairs.resize(most);
}

ResidueHypothesis with_ends_moved(ResidueHypothesis cell, double left_mm, double right_mm) {
  cell.x_mm += left_mm;
  cell.width_mm += right_mm - left_mm;
  return cell;
}

// With one end of one contact moved, one contact as a whole, or an end of each: what one gives up the other
// may take.
std::array<Pair, 8> neighbours(const Pair& pair, double by_mm) {
  const auto& [left, right] = pair;
  return {Pair{with_ends_moved(left, by_mm, 0), right},
          {with_ends_moved(left, 0, by_mm), right},
          {left, with_ends_moved(right, by_mm, 0)},
          {left, with_ends_moved(right, 0, by_mm)},
          {with_ends_moved(left, by_mm, by_mm), right},
          {left, with_ends_moved(right, by_mm, by_mm)},
          {with_ends_moved(left, 0, by_mm), with_ends_moved(right, by_mm, 0)},
          {with_ends_moved(left, by_mm, 0), with_ends_moved(right, 0, -by_mm)}};
}

// The best of a pair and its neighbours, none of their contacts narrower than a column.
Pair better(const PairFit& fit, double column_mm, double step_mm, const Pair& here) {
  Pair best = here;
  for (const double by_mm : {-step_mm, step_mm}) {
    for (Pair pair : neighbours(here, by_mm)) {
      if (std::min(pair.left.width_mm, pair.right.width_mm) < column_mm) continue;
      fit.fit(pair);
      if (pair.chi_square() < best.chi_square()) best = pair;
    }
  }
  return best;
}

Pair climbed(const PairFit& fit, double column_mm, const std::array<int, 2>& steps_columns, Pair here) {
  for (const int step : steps_columns) {
    for (Pair next = better(fit, column_mm, step * column_mm, here); next.chi_square() < here.chi_square();
         next = better(fit, column_mm, step * column_mm, here))
      here = next;
  }
  return here;
}

}  // namespace

std::pair<ResidueHypothesis, ResidueHypothesis> split_contact(const geometry::Machine& machine,
                                                              Evaluator& evaluator,
                                                              const ResidueHypothesis& whole) {
  const PairFit fit(machine, evaluator);
  std::vector<Pair> pairs = starts(fit, whole);
  for (Pair& pair : pairs) pair = climbed(fit, machine.layout.px_mm(), kWide_columns, pair);
  keep_best(kMostNarrow, pairs);
  const auto bearers = travelling_as(machine.layout, whole.carriage);
  std::vector<Pair> all;
  for (const Pair& pair : pairs) {
    for (const Pair& other : by_all(fit, bearers, pair)) all.push_back(other);
  }
  keep_best(kMostNarrow, all);
  for (Pair& pair : all) pair = climbed(fit, machine.layout.px_mm(), kNarrow_columns, pair);
  keep_best(1, all);
  const Pair& best = all.front();
  return {best.left, best.right};
}

}  // namespace scrapetrace::diagnose
