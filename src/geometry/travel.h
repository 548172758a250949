#pragma once
// The range of a carriage's displacement.

#include <algorithm>

#include "scrapetrace/layout.h"

namespace scrapetrace::geometry {

// Least and greatest displacement over the passes, in columns.
struct Travel {
  int low_px = 0;
  int high_px = 0;
};

inline Travel travel_of(const Layout& layout, std::size_t carriage) {
  Travel t{layout.shift_of(carriage, 0), layout.shift_of(carriage, 0)};
  for (int k = 1; k < layout.passes(); ++k) {
    t.low_px = std::min(t.low_px, layout.shift_of(carriage, k));
    t.high_px = std::max(t.high_px, layout.shift_of(carriage, k));
  }
  return t;
}

}  // namespace scrapetrace::geometry
