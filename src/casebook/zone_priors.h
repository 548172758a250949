#pragma once
// Zone priors that closed cases support: the layout's own priors as a Dirichlet distribution worth `weight`
// cases, and every closed case counted into its zone. The mean is the posterior's; the interval is the
// equal-tailed 95 % of its marginal, Beta(a_i, a_0 - a_i) (Gelman et al., Bayesian Data Analysis, 3rd
// ed., 3.4).

#include <string>
#include <vector>

#include "casebook/casebook.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::casebook {

struct ZonePrior {
  std::size_t zone = 0;  // index into Layout::zones
  std::int64_t closed = 0;
  double mean = 0;
  double low = 0;
  double high = 0;
};

// One per zone of the layout. Counts of zones that the layout does not have are returned in `unknown`.
std::vector<ZonePrior> zone_priors(const Layout& layout, const std::vector<ZoneCount>& counts, double weight,
                                   std::vector<ZoneCount>& unknown);

}  // namespace scrapetrace::casebook
