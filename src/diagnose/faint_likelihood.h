#pragma once
// The likelihood of faint causes, from all that the page shows of each column (column_evidence.h).
//
// A cause that takes the fraction t n(c) of all inks from column c changes the log likelihood by
// t T - t^2 F / 2, with T = sum n(c) evidence(c) and F = n^T information n. Every patch, ink, overprint and
// scan counts, and the jets' volumes are integrated out over the whole page, not over a window.

#include "diagnose/column_evidence.h"
#include "diagnose/likelihood.h"

namespace scrapetrace::diagnose {

class FaintLikelihood {
 public:
  // `scene` must outlive it; `evidence` must hold a fit.
  FaintLikelihood(const ColumnEvidence& evidence, const Scene& scene);
  FaintLikelihood(const FaintLikelihood&) = delete;  // what stands refers to the state
  FaintLikelihood& operator=(const FaintLikelihood&) = delete;

  // Strength and evidence of a cause that takes from all inks alike. How hard a contact scrapes is not known
  // to a factor: strengths are log-uniform down to kFaintestLoss, so the width of the posterior is that of
  // log t, per log unit of that prior. chi_square is relative to "nothing is wrong".
  [[nodiscard]] StrengthFit fit(const TrialCause& cause, std::size_t shift) const;

 private:
  Trace thin_;  // an ink so thin that light is linear in it
  InkState whole_;
  std::optional<Standing> standing_;  // always there
  std::vector<double> evidence_;      // per cell
  std::vector<double> information_;   // cells by cells
};

inline constexpr double kFaintestLoss = 5e-5;  // per contact

}  // namespace scrapetrace::diagnose
