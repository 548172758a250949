#pragma once
// Strips along the process direction, of uniform ink from edge to edge. A column is one strip, except at
// seams between carriages with different offsets, where columns overlap or leave a gap and are cut at each
// other's edges.

#include <vector>

#include "geometry/column_map.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::press {

struct Strips {
  // Column `column`, as its carriage prints it, inks strip `strip`; ordered by strip.
  struct Lay {
    int strip = 0;
    int column = 0;
    double x_sheet_mm = 0;  // the column's nominal centre, which decides what is printed
    double x_drum_mm = 0;   // its true position
  };
  std::vector<double> edges_mm;  // sheet x, ascending; strip i lies between edges i and i + 1
  std::vector<Lay> lays;
  [[nodiscard]] int count() const { return static_cast<int>(edges_mm.size()) - 1; }
};

// Strips that cover at least sheet x [from_mm, to_mm]. `machine` is the layout with its true carriage
// positions, which the printed raster does not know.
Strips cut_strips(const Layout& layout, const Layout& machine, const geometry::ColumnMap& map, double from_mm,
                  double to_mm);

}  // namespace scrapetrace::press
