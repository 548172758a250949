#pragma once
// The causes that have a model, in one list. A further one needs, besides this line and its name in
// scrapetrace/findings.h: a file with its parameters, its trial, its search and its apply() (weak_jet.h is
// the shortest), its call in diagnose/round.cpp, and its words in report/words.cpp.

#include "causes/blade_haze.h"
#include "causes/drum_scratch.h"
#include "causes/residue.h"
#include "causes/seam_gap.h"
#include "causes/weak_jet.h"
#include "scrapetrace/findings.h"

namespace scrapetrace::diagnose {

struct FoundCauses {
  Hypotheses<ResidueFault> residue;
  Hypotheses<JetFault> jet;
  Hypotheses<ScratchFault> scratch;
  Hypotheses<HazeFault> haze;
  Hypotheses<SeamFault> seam;

  // Calls visit(cause, hypotheses) for each in turn.
  template <class Visit>
  void each(const Visit& visit) {
    each_of(*this, visit);
  }
  template <class Visit>
  void each(const Visit& visit) const {
    each_of(*this, visit);
  }

  // Calls visit(hypotheses) for one cause if anything was found of it; never for causes without a model.
  template <class Visit>
  void found_of(Cause asked, const Visit& visit) const {
    each([&](Cause cause, const auto& hypotheses) {
      if (cause == asked && !hypotheses.empty() && hypotheses.log_evidence > kNothingFound) visit(hypotheses);
    });
  }

  // Log evidence of a cause; -1e300 of one without a model.
  [[nodiscard]] double log_evidence(Cause asked) const {
    double out = -1e300;
    each([&](Cause cause, const auto& hypotheses) {
      if (cause == asked) out = hypotheses.log_evidence;
    });
    return out;
  }

  void forget(Cause asked) {
    each([&](Cause cause, auto& hypotheses) {
      if (cause == asked) hypotheses = {};
    });
  }

 private:
  template <class Self, class Visit>
  static void each_of(Self& self, const Visit& visit) {
    visit(Cause::residue, self.residue);
    visit(Cause::dead_jet, self.jet);
    visit(Cause::drum_scratch, self.scratch);
    visit(Cause::blade_haze, self.haze);
    visit(Cause::seam_mismatch, self.seam);
  }
};

}  // namespace scrapetrace::diagnose
