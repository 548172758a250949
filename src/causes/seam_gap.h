#pragma once
// Two heads whose ink does not meet as the layout has it: a line without ink, or with twice as much.

#include "causes/drum_scratch.h"
#include "causes/hypothesis.h"
#include "causes/search_context.h"
#include "geometry/machine.h"

namespace scrapetrace::diagnose {

struct SeamFault {
  std::size_t left_head = 0;
  std::size_t right_head = 0;
  geometry::SeamEnds by_layout;
  Interval x_mm;      // drum: where ink is missing or lies twice
  double gap_mm = 0;  // negative: overlap
};
using SeamHypothesis = Hypothesis<SeamFault>;

// A seam where two heads' ink does not meet as the layout has it: instead of the layout's own step, from
// `end_mm` on, ink is missing altogether or lies twice. Strength: over how many millimetres.
class SeamTrial : public TrialCause {
 public:
  // `by_layout`: where the heads' ink ends by the layout. `direction` +1: from `end_mm` to the right, -1: to
  // the left.
  SeamTrial(const Scene& scene, const geometry::SeamEnds& by_layout, double end_mm, int direction,
            bool overlap);
  [[nodiscard]] CellRange range() const override { return range_; }
  void signals(const Trace& trace, const Standing& before, double width_mm, CellSignals& out) const override;
  void apply(double width_mm, InkState& state) const;
  [[nodiscard]] Interval interval_mm(double width_mm) const;
  [[nodiscard]] double lowest() const override { return 0.002; }
  [[nodiscard]] double highest() const override { return kWidest_mm; }
  static constexpr double kWidest_mm = 0.6;  // wider is another machine's layout

 private:
  [[nodiscard]] double part_of(const Cell& cell, double width_mm) const;
  const Scene& scene_;
  double end_mm_;
  int direction_;
  bool overlap_;
  CellRange range_;
};

// Nothing where no seam lies in the region. `scratch` is what search_scratch() found there.
Hypotheses<SeamFault> search_seam(const SearchContext& context, const Hypotheses<ScratchFault>& scratch);

void apply(const geometry::Machine& machine, const Scene& scene, const SeamFault& fault, InkState& state);

}  // namespace scrapetrace::diagnose
