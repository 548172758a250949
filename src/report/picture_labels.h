#pragma once
// Places labels without overlap.

#include <cstddef>
#include <vector>

namespace scrapetrace::report::picture {

// Centres for labels of given widths in the given order (wanted centres must not decrease): as near to the
// wanted ones as possible, `gap` apart, inside [left, right] if they fit.
std::vector<double> spread(const std::vector<double>& wanted, const std::vector<double>& widths, double gap,
                           double left, double right);

struct Extent {
  double from = 0;
  double to = 0;
};

// For each extent in turn the lowest lane without overlap, keeping `gap`.
std::vector<std::size_t> lanes(const std::vector<Extent>& extents, double gap);

}  // namespace scrapetrace::report::picture
