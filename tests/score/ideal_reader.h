#pragma once
// The best possible reader of one sheet: P(target | pixels) by integrating the exact likelihood over
// carriage, side of the jets, left end, width and loss, under the very priors that the cases are drawn from.
//
// Which columns a contact touches changes only where one of its ends passes a column's centre, so over a cell
// of (left end, right end) between such places the likelihood is constant: the integral over place and width
// is a finite sum, and what is left is one integral per cell, over the loss. That one is done by Gauss-Newton
// and Laplace's method, cut off at the prior's ends. Cells are searched outwards from the truth and from a
// sweep of every other hypothesis, down to e^-12 of the best.

#include <vector>

#include "geometry/zones.h"
#include "score/ideal_likelihood.h"

namespace scrapetrace::score {

struct IdealAnswer {
  std::vector<double> targets;  // probability per target, layout order
  double middle_mm = 0;         // of the contact, posterior mean under the true carriage and side of the jets
  double sigma_mm = 0;
  double chi_square = 0;  // of the truth, over
  std::size_t samples = 0;
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
