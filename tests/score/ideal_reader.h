#pragma once
// The best possible reader of one sheet: P(target | pixels), the exact likelihood integrated over carriage,
// side of the jets, left end, width and loss, under the priors that the cases are drawn from.
//
// The columns that a contact touches change only where an end passes a column's centre. Over a cell of (left
// end, right end) the likelihood is constant: the integral over place and width is a finite sum. The integral
// over the loss is done by Gauss-Newton and Laplace's method, cut off at the prior's ends. Cells are searched
// best first from the truth and from a sweep per hypothesis, down to e^-12 of the best.

#include <vector>

#include "geometry/zones.h"
#include "score/ideal_likelihood.h"

namespace scrapetrace::score {

struct IdealAnswer {
  std::vector<double> targets;  // probability per target, layout order
  double middle_mm = 0;         // of the contact, posterior mean under the true carriage and side of the jets
  double sigma_mm = 0;
};

struct IdealPrior {
  std::vector<geometry::TargetZone> zones;
  CaseKind kind = CaseKind::residue;  // where on the print the streak may lie
  Interval printed_mm;
};

// `truth` is where the search starts and what the noise is computed under; nothing else is read off it.
IdealAnswer read_ideally(const IdealLikelihood& likelihood, const Residue& truth, const IdealPrior& prior);

Scrape scrape_of(const Layout& layout, const geometry::ColumnMap& columns, const Residue& residue);

}  // namespace scrapetrace::score
