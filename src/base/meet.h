#pragma once

#include "scrapetrace/findings.h"

namespace scrapetrace {

// Whether two intervals share more than an end.
inline bool meet(const Interval& a, const Interval& b) {
  return a.from_mm < b.to_mm && b.from_mm < a.to_mm;
}

}  // namespace scrapetrace
