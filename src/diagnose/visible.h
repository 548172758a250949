#pragma once
// What an explanation looks like on the print: where it shows and how much ink is gone there.

#include "diagnose/diagnose_region.h"

namespace scrapetrace::diagnose {

// Fills visible_mm, middle_sigma_mm and loss from the likeliest cause's best cell and the spread of its
// cells. For an unknown cause the region itself is shown.
void describe_visible(const PageContext& page, const Scene& scene, const streak::Region& region,
                      Explanation& out);

}  // namespace scrapetrace::diagnose
