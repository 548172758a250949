#pragma once
// What a scan's report says of it once its profiles are there.

#include "locate/prepare_scan.h"

namespace scrapetrace::locate_detail {

// Completes the report by registration, finest streak and verdict, and gives it to all ways round that the
// sheet may lie, likeliest first. Scans that were sharpened show nothing faint.
void complete_report(const PageRaster& raster, const Layout& layout, ScanReport report,
                     std::vector<AnalysedScan>& ways, int threads);

}  // namespace scrapetrace::locate_detail
