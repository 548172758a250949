#pragma once
// What a streak looks like: its colour difference column by column, as the forward model draws it.

#include <vector>

#include "geometry/column_map.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/findings.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::accept_detail {

// Signed CIEDE2000 against the print beside it, per column of the drum (layout.px_mm() apart); ink added
// counts negative. Colours are relative to the paper, and the scan's linear R, G, B are taken for sRGB's.
using ColourProfile = std::vector<double>;

// One profile per kind of print that shows the streak: the chart's patches that hold one of its inks, or
// solids of those inks when there is no chart; bare paper for ink added.
std::vector<ColourProfile> colour_profiles(const Layout& layout, const geometry::ColumnMap& columns,
                                           const Chart* chart, const Streak& streak);

}  // namespace scrapetrace::accept_detail
