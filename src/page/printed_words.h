#pragma once

#include "scrapetrace/chart.h"

namespace scrapetrace::page {

// The chart with what stands beside its tags: words and rulers, on the whole width of the print, as high as
// the tag and a quarter of it above and below; beside patches only the tag with that margin. They are patches
// without inks: neither to be measured nor bare paper.
Chart with_printed_words(const Chart& chart);

}  // namespace scrapetrace::page
