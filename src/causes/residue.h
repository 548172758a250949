#pragma once
// Residue on a carriage: a contact that takes a part of the ink from every column that it reaches.

#include <cstdint>
#include <utility>
#include <vector>

#include "causes/hypothesis.h"
#include "causes/search_context.h"
#include "geometry/contact.h"
#include "geometry/machine.h"

namespace scrapetrace::diagnose {

struct ResidueFault {
  std::size_t carriage = 0;
  bool downstream = false;
  double x_mm = 0;  // left end at home, drum
  double width_mm = 0;
  double loss = 0;
  double loss_sigma = 0;  // of the loss, the place given
  [[nodiscard]] geometry::Contact contact() const { return {carriage, downstream, x_mm, width_mm}; }
  [[nodiscard]] double middle_mm() const { return x_mm + width_mm / 2; }
};
using ResidueHypothesis = Hypothesis<ResidueFault>;

// Residue: kept = (1 - f)^n for all inks; n from geometry::count_touches. Strength: f.
class ResidueTrial : public TrialCause {
 public:
  ResidueTrial(const Scene& scene, const geometry::TouchCounts& touches);
  [[nodiscard]] CellRange range() const override { return range_; }
  void signals(const Trace& trace, const Standing& before, double loss, CellSignals& out) const override;
  void apply(double loss, InkState& state) const;
  [[nodiscard]] bool touches_nothing() const { return range_.to <= range_.from; }

 private:
  CellRange range_;
  std::vector<std::uint8_t> n_;  // per cell of the range
};

// Prior density, per mm, that a residue on this carriage sits at [x, x + width), averaged over its width.
double residue_density(const geometry::Machine& machine, std::size_t carriage, double x_mm, double width_mm,
                       double elsewhere);

// On the lattice of whole columns, or finer where a layout's offsets cut them (contact_ends.h).
Hypotheses<ResidueFault> search_residue(const SearchContext& context);

void apply(const geometry::Machine& machine, const Scene& scene, const ResidueFault& fault, InkState& state);

}  // namespace scrapetrace::diagnose
