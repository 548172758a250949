#pragma once
// The colour difference of a streak, column by column, by the forward model.

#include <vector>

#include "geometry/column_map.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/findings.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::accept_detail {

// Signed CIEDE2000 against the print beside it, per drum column (layout.px_mm() apart); added ink counts
// negative. Colours are relative to paper; the scan's linear R, G, B are taken as sRGB.
using ColourProfile = std::vector<double>;

// One profile per kind of print that shows the streak: the chart's patches with one of its inks, without a
// chart solids of those inks; bare paper for added ink.
std::vector<ColourProfile> colour_profiles(const Layout& layout, const geometry::ColumnMap& columns,
                                           const Chart* chart, const Streak& streak);

}  // namespace scrapetrace::accept_detail
