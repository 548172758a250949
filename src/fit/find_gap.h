#pragma once
// Finds a jet's lines in a measured profile.

#include <optional>
#include <vector>

namespace scrapetrace::fit {

// The x within `reach_mm` of `about_mm` at which lines at offsets `lines_mm` lack most ink on average,
// interpolated. nullopt: less than a tenth is missing, or the profile does not reach so far.
std::optional<double> find_gap(const std::vector<double>& x_mm, const std::vector<double>& loss,
                               const std::vector<double>& lines_mm, double about_mm, double reach_mm);

}  // namespace scrapetrace::fit
