#pragma once
// Updates zone priors from closed cases: the layout's priors are a Dirichlet distribution worth `weight`
// cases, and each closed case adds one to its zone. Gives the posterior mean and the equal-tailed 95 %
// interval of the marginal Beta(a_i, a_0 - a_i) (Gelman et al., Bayesian Data Analysis, 3rd ed., 3.4).

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

// One per zone of the layout. Counts of zones that the layout lacks go to `unknown`.
std::vector<ZonePrior> zone_priors(const Layout& layout, const std::vector<ZoneCount>& counts, double weight,
                                   std::vector<ZoneCount>& unknown);

}  // namespace scrapetrace::casebook
