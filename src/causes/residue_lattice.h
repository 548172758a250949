#pragma once
// The contacts that a search for residue tries: those of one carriage on one side of its jets, by where their
// ends lie (contact_ends.h).

#include <algorithm>
#include <cmath>

#include "causes/best_first.h"
#include "causes/contact_ends.h"
#include "causes/residue.h"
#include "geometry/contact.h"

namespace scrapetrace::diagnose {

struct ResidueValue {
  double score = -1e300;
  StrengthFit fit;
};

// One carriage and side of the jets; cells are (place of the left end at home, places wide). What it has met
// tells it where the next fit begins and which cells are hopeless: walks side by side have a copy each.
class ResidueLattice {
 public:
  ResidueLattice(const SearchContext& context, std::size_t carriage, bool downstream)
      : context_(context),
        carriage_(carriage),
        downstream_(downstream),
        ends_(context.machine, context.region_mm) {}

  [[nodiscard]] geometry::Contact contact(LatticePoint cell) const {
    const double left_mm = ends_.place_mm(cell.first);
    return {carriage_, downstream_, left_mm, ends_.place_mm(cell.first + cell.second) - left_mm};
  }

  [[nodiscard]] int per_step() const { return ends_.per_step(); }
  [[nodiscard]] std::size_t cells_per_step() const {
    return static_cast<std::size_t>(per_step() * per_step());
  }

  [[nodiscard]] LatticePoint cell_at(double x_mm, double width_mm) const {
    const int left = ends_.nearest(x_mm);
    return {left, std::max(1, ends_.nearest(x_mm + width_mm) - left)};
  }

  [[nodiscard]] double log_prior(LatticePoint cell) const {
    const auto c = contact(cell);
    const double density =
        residue_density(context_.machine, carriage_, c.x_mm, c.width_mm, context_.priors.elsewhere);
    const double by_width = ends_.length_mm(cell.first + cell.second) /
                            (c.width_mm * std::log(context_.priors.widest_mm / context_.priors.narrowest_mm));
    return std::log(context_.priors.residues * 0.5 * density * ends_.length_mm(cell.first) * by_width);
  }

  // Goes on from what another one has met, where that is better.
  void learn_from(const ResidueLattice& other) {
    if (other.best_ <= best_) return;
    best_ = other.best_;
    start_ = other.start_;
  }

  ResidueValue operator()(LatticePoint cell, std::size_t shift) {
    if (cell.second < 1) return {};
    const geometry::Contact here = contact(cell);
    if (here.width_mm > context_.priors.widest_mm) return {};
    const auto touches = geometry::count_touches(context_.machine.layout, context_.machine.columns, here);
    const ResidueTrial trial(context_.scene(), touches);
    if (trial.touches_nothing()) return {};
    ResidueValue value;
    const double prior = log_prior(cell);
    value.fit = context_.evaluator.fit(trial, shift, start_, 2 * (prior - best_ + kHopeless));
    value.score = value.fit.log_evidence() + prior;
    if (value.score > best_) {
      best_ = value.score;
      start_ = value.fit.strength;
    }
    return value;
  }

 private:
  static constexpr double kHopeless = 60;  // log units below the best that need no exact score

  const SearchContext& context_;
  std::size_t carriage_;
  bool downstream_;
  ContactEnds ends_;
  double start_ = 0.3;
  double best_ = -1e300;
};

}  // namespace scrapetrace::diagnose
