#pragma once
// Haze of a leaking blade: ink that lies on everything, paper too.

#include <vector>

#include "causes/hypothesis.h"
#include "causes/search_context.h"
#include "geometry/machine.h"

namespace scrapetrace::diagnose {

struct HazeFault {
  Interval x_mm;  // width at half maximum
  double density = 0;
  [[nodiscard]] double middle_mm() const { return 0.5 * (x_mm.from_mm + x_mm.to_mm); }
};
using HazeHypothesis = Hypothesis<HazeFault>;

// Blade haze: a Gaussian of neutral density on everything. Strength: density at the centre.
class HazeTrial : public TrialCause {
 public:
  HazeTrial(const Scene& scene, double centre_mm, double fwhm_mm);
  [[nodiscard]] CellRange range() const override { return range_; }
  void signals(const Trace& trace, const Standing& before, double density, CellSignals& out) const override;
  void apply(double density, InkState& state) const;
  [[nodiscard]] double lowest() const override { return 0.004; }
  [[nodiscard]] double highest() const override { return 1.5; }

 private:
  CellRange range_;
  std::vector<double> shape_;  // per cell of the range
};

Hypotheses<HazeFault> search_haze(const SearchContext& context);

void apply(const geometry::Machine& machine, const Scene& scene, const HazeFault& fault, InkState& state);

}  // namespace scrapetrace::diagnose
