#pragma once

#include "score/ideal_likelihood.h"

namespace scrapetrace::score {

struct LossIntegral {
  double log_value = -1e300;  // log of the integral of prior(f) exp(-chi^2 / 2)
  double loss = 0;            // where the likelihood is largest
};

// At most `most_steps` Gauss-Newton steps from the loss `start`; few give a rough value.
LossIntegral integrate_loss(const IdealLikelihood& likelihood, const White& data,
                            const geometry::TouchCounts& touches, double start, int most_steps = 8);

}  // namespace scrapetrace::score
