#pragma once

#include <vector>

#include "scrapetrace/findings.h"

namespace scrapetrace {

// Whether two intervals share more than an end.
inline bool meet(const Interval& a, const Interval& b) {
  return a.from_mm < b.to_mm && b.from_mm < a.to_mm;
}

// As few as hold the same places, ascending: those that meet or touch are one.
std::vector<Interval> joined(std::vector<Interval> intervals);

}  // namespace scrapetrace
