#pragma once
// The print cut into strips along the process direction, in which the ink is the same from edge to edge. One
// column is one strip, except at seams between carriages with different offsets, where columns overlap or
// leave a gap and are cut at each other's edges.

#include <vector>

#include "geometry/column_map.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::press {

struct Strips {
  // Column `column`, as its carriage lays it, inks strip `strip`; ordered by strip.
  struct Lay {
    int strip = 0;
    int column = 0;
    double x_sheet_mm = 0;  // the column's centre where the layout has it: what is printed there
    double x_drum_mm = 0;   // where it really is
  };
  std::vector<double> edges_mm;  // sheet x, ascending; strip i lies between edges i and i + 1
  std::vector<Lay> lays;
  [[nodiscard]] int count() const { return static_cast<int>(edges_mm.size()) - 1; }
};

// Strips over sheet x [from_mm, to_mm] at least. `machine` is the layout as its carriages really stand: the
// raster that they print does not know.
Strips cut_strips(const Layout& layout, const Layout& machine, const geometry::ColumnMap& map, double from_mm,
                  double to_mm);

}  // namespace scrapetrace::press
