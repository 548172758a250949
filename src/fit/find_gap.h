#pragma once
// A jet's lines in a measured profile.

#include <optional>
#include <vector>

namespace scrapetrace::fit {

// The x within `reach_mm` of `about_mm` at which lines standing `lines_mm` off it lack most ink on average,
// to a part of a sample; nullopt when they lack less than a tenth there, or the profile does not reach so
// far.
std::optional<double> find_gap(const std::vector<double>& x_mm, const std::vector<double>& loss,
                               const std::vector<double>& lines_mm, double about_mm, double reach_mm);

}  // namespace scrapetrace::fit
