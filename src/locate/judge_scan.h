#pragma once
// A scan's verdict: what it cannot show, and what to change.

#include "locate/prepare_scan.h"

namespace scrapetrace::locate_detail {

// Completes the report of a scan that was placed and profiled: the placement's remarks, then every issue with
// its remedy, then the verdict.
void judge_scan(const PageRaster& raster, const Layout& layout, AnalysedScan& scan, int threads);

// Scans that do not belong together, when several are given: a strong streak of one that another of them,
// which shows the place, has not, or the volumes of other jets. Adds the issue to the report of the scan that
// stands alone. Those from before are held against the jets of the first only.
void judge_together(const Layout& layout, const std::vector<AnalysedScan*>& scans,
                    const std::vector<AnalysedScan*>& before);

}  // namespace scrapetrace::locate_detail
