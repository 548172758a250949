#pragma once
// Where something is wrong on any of several scans, each scan alone and all of them together.

#include <vector>

#include "diagnose/scene.h"
#include "geometry/column_map.h"
#include "streak/find_regions.h"

namespace scrapetrace::locate_detail {

// What is faint on every sheet is seen in their mean; what shows on one sheet only (a contact that comes and
// goes) would drown there, so each scan is searched by itself too. Half the false-alarm rate goes to the
// mean. One list in drum millimetres, left to right.
std::vector<streak::Region> find_all_regions(const Layout& layout, const geometry::ColumnMap& columns,
                                             const std::vector<diagnose::PreparedScan>& scans,
                                             double false_alarm_rate);

}  // namespace scrapetrace::locate_detail
