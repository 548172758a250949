#pragma once
// The one place that is not what it was taken for.

#include <optional>
#include <utility>
#include <vector>

#include "fit/solve.h"
#include "scrapetrace/layout_fit.h"

namespace scrapetrace::fit {

struct Wrong {
  std::optional<std::size_t> sample;  // to be left out
  std::optional<std::pair<std::size_t, std::size_t>>
      either;  // contradiction: one of these, none can tell which
};

Wrong find_wrong(const std::vector<Sample>& samples, std::size_t heads, std::optional<double> slope,
                 const Solution& all, const LayoutFitOptions& options);

// Half the width of a 95 % interval, in standard deviations for the noise that goes with it.
double quantile_95(bool noise_from_residuals, int degrees_of_freedom);

// Fewer residuals than these tell less of the noise than the sigmas stated.
inline constexpr int kLeastFreedom = 3;

}  // namespace scrapetrace::fit
