#pragma once
// Keeping labels off each other.

#include <cstddef>
#include <vector>

namespace scrapetrace::report::picture {

// Centres for labels of the given widths, in the order given (wanted centres must not decrease): as near to
// where they are wanted as can be, `gap` apart, inside [left, right] while they fit.
std::vector<double> spread(const std::vector<double>& wanted, const std::vector<double>& widths, double gap,
                           double left, double right);

struct Extent {
  double from = 0;
  double to = 0;
};

// The lowest lane for each extent in turn in which it overlaps nothing placed before it, keeping `gap`.
std::vector<std::size_t> lanes(const std::vector<Extent>& extents, double gap);

}  // namespace scrapetrace::report::picture
