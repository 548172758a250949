#pragma once
// Cleaning targets and their place on the drum.

#include <vector>

#include "scrapetrace/layout.h"

namespace scrapetrace::geometry {

// A (head, stencilled side, surface); drum interval with the carriage at home.
struct TargetZone {
  std::size_t head = 0;
  std::size_t zone = 0;  // index into Layout::zones
  double from_mm = 0;    // drum X, from < to
  double to_mm = 0;
  double prior_density = 0;  // per mm of drum; sums over all targets' intervals to 1
};

// Every head with every zone, in layout order (heads first, then zones).
std::vector<TargetZone> target_zones(const Layout& layout);

}  // namespace scrapetrace::geometry
