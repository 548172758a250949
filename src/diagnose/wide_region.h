#pragma once
// Regions in which more shows than the diagnosis has an explanation for.

#include "diagnose/diagnose_region.h"

namespace scrapetrace::diagnose {

// Whether a region is wider than all causes together that it may have, or has more columns than can be
// weighed against one another in seconds.
bool beyond_causes(const PageContext& page, const streak::Region& region, const DiagnoseOptions& options);

// Such a region as it stands: unknown. Baselines follow what is so wide, so that its loss is told from what
// lies to both sides: that of an even layer as light as its mean.
Explanation unexplained(const PageContext& page, const streak::Region& region,
                        std::vector<streak::Track> tracks);

}  // namespace scrapetrace::diagnose
