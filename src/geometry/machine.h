#pragma once
// A layout with what follows from it, worked out once.

#include <vector>

#include "geometry/column_map.h"
#include "geometry/zones.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::geometry {

// The layout must outlive it, and be one that ColumnMap takes.
struct Machine {
  explicit Machine(const Layout& of) : layout(of), columns(of), zones(target_zones(of)) {}
  const Layout& layout;
  ColumnMap columns;
  std::vector<TargetZone> zones;
};

}  // namespace scrapetrace::geometry
