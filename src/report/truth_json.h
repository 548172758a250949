#pragma once
// The ground truth of a rendered scan, schema "scrapetrace.truth/1": all inputs, and where they show.

#include <string>

#include "scrapetrace/causes.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/provenance.h"
#include "scrapetrace/simulate.h"

namespace scrapetrace::report {

// For arguments that simulate_scan accepts. UTF-8, unrounded numbers, null for an open end of an interval,
// newline at the end. Sheet coordinates are the chart's; "scan_from_sheet" maps them to image pixels, u = row
// 0 . (x, y, 1), v = row 1 . (x, y, 1). A photo has "camera" instead.
std::string truth_json(const Layout& layout, const Chart& chart, const Causes& causes,
                       const PrintOptions& print, const ScanOptions& scan, const SimulatedScan& simulated,
                       const Origin& origin, const CameraOptions* camera = nullptr);

}  // namespace scrapetrace::report
