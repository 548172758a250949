#pragma once
// A scratch of the drum: all inks lose the same part of a box.

#include <vector>

#include "causes/hypothesis.h"
#include "causes/search_context.h"
#include "geometry/machine.h"

namespace scrapetrace::diagnose {

struct ScratchFault {
  Interval x_mm;
  double loss = 0;
  [[nodiscard]] double middle_mm() const { return 0.5 * (x_mm.from_mm + x_mm.to_mm); }
};
using ScratchHypothesis = Hypothesis<ScratchFault>;

// Drum scratch: all inks lose the same fraction once, over [from, to) of the drum. Strength: that fraction.
class ScratchTrial : public TrialCause {
 public:
  ScratchTrial(const Scene& scene, Interval x_mm);
  [[nodiscard]] CellRange range() const override { return range_; }
  void signals(const Trace& trace, const Standing& before, double loss, CellSignals& out) const override;
  void apply(double loss, InkState& state) const;

 private:
  CellRange range_;
  std::vector<double> overlap_;  // part inside, per cell of the range
};

Hypotheses<ScratchFault> search_scratch(const SearchContext& context);

void apply(const geometry::Machine& machine, const Scene& scene, const ScratchFault& fault, InkState& state);

}  // namespace scrapetrace::diagnose
