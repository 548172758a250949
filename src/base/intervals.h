#pragma once

#include <vector>

#include "scrapetrace/findings.h"

namespace scrapetrace {

// True when two intervals share more than an end point.
inline bool meet(const Interval& a, const Interval& b) {
  return a.from_mm < b.to_mm && b.from_mm < a.to_mm;
}

// The union as disjoint intervals, ascending; intervals that touch are merged.
std::vector<Interval> joined(std::vector<Interval> intervals);

}  // namespace scrapetrace
