#pragma once
// Which targets share part of the drum, and when the page cannot tell them apart.

#include <vector>

#include "geometry/column_map.h"
#include "scrapetrace/layout_description.h"

namespace scrapetrace::layout {

// Left to right on the drum.
std::vector<ZoneOverlap> zone_overlaps(const Layout& layout, const geometry::ColumnMap& map);

}  // namespace scrapetrace::layout
