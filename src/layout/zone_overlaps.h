#pragma once
// Targets that share part of the drum, and whether a page can tell them apart.

#include <vector>

#include "geometry/column_map.h"
#include "scrapetrace/layout_description.h"

namespace scrapetrace::layout {

// Left to right on the drum.
std::vector<ZoneOverlap> zone_overlaps(const Layout& layout, const geometry::ColumnMap& map);

}  // namespace scrapetrace::layout
