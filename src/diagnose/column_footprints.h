#pragma once
// Which columns a sample of a scan sees, through the scan's blur.

#include <vector>

#include "diagnose/scene.h"
#include "geometry/column_map.h"

namespace scrapetrace::diagnose {

struct SeenColumn {
  int column = 0;
  double weight = 0;  // part of the sample that it makes up
};

// Per sample of the scan's grid. A column with an owner is a box one raster step wide about its middle as it
// is laid, blurred by the scan's Gaussian; beyond four blur lengths it is left out.
std::vector<std::vector<SeenColumn>> seen_columns(const Layout& layout, const geometry::ColumnMap& columns,
                                                  const PreparedScan& scan);

}  // namespace scrapetrace::diagnose
