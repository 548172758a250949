#pragma once
// Where a known place lies on the drum if every head stood where the starting layout has it.

#include "geometry/column_map.h"
#include "scrapetrace/layout_fit.h"

namespace scrapetrace::fit {

struct NominalPlace {
  std::size_t head = 0;
  double x_drum_mm = 0;            // with the starting layout's offsets
  double sigma_mm = 0;             // of where it is on the machine
  std::vector<double> lines_mm{};  // a jet's gaps, off x_drum_mm, in rising order
};

// A problem when the layout has no such place, or when it draws nothing that could be seen.
Result<NominalPlace> nominal_place(const Layout& layout, const geometry::ColumnMap& columns,
                                   const KnownPlace& place);

}  // namespace scrapetrace::fit
