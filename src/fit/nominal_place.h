#pragma once
// Where a known place lies on the drum by the starting layout.

#include "geometry/column_map.h"
#include "scrapetrace/layout_fit.h"

namespace scrapetrace::fit {

struct NominalPlace {
  std::size_t head = 0;
  double x_drum_mm = 0;            // with the starting layout's offsets
  double sigma_mm = 0;             // of the place on the machine
  std::vector<double> lines_mm{};  // a jet's gaps, off x_drum_mm, in rising order
};

// A problem when the layout lacks the place, or nothing visible comes from it.
Result<NominalPlace> nominal_place(const Layout& layout, const geometry::ColumnMap& columns,
                                   const KnownPlace& place);

}  // namespace scrapetrace::fit
