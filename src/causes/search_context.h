#pragma once
// What every search for a cause is given.

#include <vector>

#include "geometry/machine.h"
#include "likelihood/likelihood.h"

namespace scrapetrace::diagnose {

// Expected number of each cause on a page, and how their parameters are spread. Common practice, no source:
// after a rework with sealant residue is the first suspect, dead jets are common, the rest are rare.
struct CausePriors {
  double residues = 0.7;
  double weak_jets = 1.0;
  double scratches = 0.2;
  double hazes = 0.2;
  double seam_mismatch = 0.03;  // per seam
  double unknown = 0.02;
  double narrowest_mm = 0.06;  // widths are log-uniform between these
  double widest_mm = 15.0;
  double elsewhere = 0.02;  // part of the residue that sits in no zone, spread over the drum
};

struct SearchContext {
  const geometry::Machine& machine;
  Evaluator& evaluator;  // its state: the causes accepted so far
  Interval region_mm;
  CausePriors priors;
  int threads = 1;  // the answers do not depend on them
  [[nodiscard]] const Scene& scene() const { return evaluator.scene(); }
};

// Log prior density of a width, over `step_mm` of it.
double log_width_prior(const CausePriors& priors, double width_mm, double step_mm);

// chi square of a trial of given strength at any shift, without that shift's matrices.
double trial_chi_square(const SearchContext& context, const TrialCause& trial, double strength,
                        std::size_t shift);

// The trial shift of the registration under which a trial of given strength fits best, its prior counted.
std::size_t best_shift(const SearchContext& context, const TrialCause& trial, double strength);

}  // namespace scrapetrace::diagnose
