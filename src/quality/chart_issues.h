#pragma once
// Checks that the printed areas are the chart's.

#include <string>
#include <vector>

#include "profile/strips.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::quality {

// One sentence each for the first area with the colour of another area and for the first not printed over its
// whole length; empty when all match. Compares hues, by the angle between density vectors in R, G and B,
// since ink amounts and scanners differ; on grey scans only lengths. The result does not depend on `threads`.
std::vector<std::string> chart_doubts(const profile::Strips& strips, const Chart& chart, const Layout& layout,
                                      bool grey, int threads = 1);

}  // namespace scrapetrace::quality
