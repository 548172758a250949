#pragma once
// Whether the printed areas are those of the chart.

#include <string>
#include <vector>

#include "profile/strips.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::quality {

// One sentence each for the first area whose colour is clearly that of another area of the chart, and for the
// first that is not printed over its whole length; empty when all are as the chart has them. Hues are
// compared, by the angle between densities in R, G and B, because amounts of ink and scanners differ; on grey
// scans only lengths. They do not depend on `threads`.
std::vector<std::string> chart_doubts(const profile::Strips& strips, const Chart& chart, const Layout& layout,
                                      bool grey, int threads = 1);

}  // namespace scrapetrace::quality
