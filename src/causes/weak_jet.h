#pragma once
// A dead or weak jet: its columns lack one ink.

#include <vector>

#include "causes/hypothesis.h"
#include "causes/search_context.h"
#include "geometry/machine.h"

namespace scrapetrace::diagnose {

struct JetFault {
  std::size_t head = 0;
  std::size_t ink = 0;
  int jet = 0;
  double loss = 1;
};
using JetHypothesis = Hypothesis<JetFault>;

// One jet: its cells lack the fraction `loss` of one ink. Strength: loss, 1 for a dead jet.
class JetTrial : public TrialCause {
 public:
  // `cells` ascend.
  JetTrial(std::size_t ink, std::vector<std::size_t> cells);
  [[nodiscard]] CellRange range() const override { return range_; }
  void signals(const Trace& trace, const Standing& before, double loss, CellSignals& out) const override;
  void apply(double loss, InkState& state) const;
  [[nodiscard]] double lowest() const override { return 0.1; }  // weaker is jet-to-jet variation
  [[nodiscard]] double highest() const override { return 1.0; }

 private:
  std::size_t ink_;
  std::vector<std::size_t> cells_;
  CellRange range_;
};

// Cells of the scene that one jet lays.
std::vector<std::size_t> jet_cells(const Scene& scene, std::size_t head, int jet);

// Log prior that a jet of a machine is weak in one ink.
double log_prior_of_jet(const Layout& layout, const CausePriors& priors);

Hypotheses<JetFault> search_jet(const SearchContext& context);

void apply(const geometry::Machine& machine, const Scene& scene, const JetFault& fault, InkState& state);

}  // namespace scrapetrace::diagnose
