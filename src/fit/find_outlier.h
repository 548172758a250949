#pragma once
// Finds the one place that is wrong.

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

Wrong find_outlier(const std::vector<Sample>& samples, std::size_t heads, std::optional<double> slope,
                   const Solution& all, const LayoutFitOptions& options);

// Half-width of a 95 % interval in standard deviations, for this source of noise.
double quantile_95(bool noise_from_residuals, int degrees_of_freedom);

// With fewer degrees of freedom the stated sigmas are better than the residuals.
inline constexpr int kLeastFreedom = 3;

}  // namespace scrapetrace::fit
