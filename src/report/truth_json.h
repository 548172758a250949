#pragma once
// The truth of a rendered scan, schema "scrapetrace.truth/1": everything that went in, and where it shows.

#include <string>

#include "scrapetrace/causes.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/provenance.h"
#include "scrapetrace/simulate.h"

namespace scrapetrace::report {

// For arguments that simulate_scan accepted. UTF-8 whatever the names hold, numbers unrounded, null for an
// open end of an interval. Ends with a newline. Sheet coordinates are the chart's; "scan_from_sheet" takes
// them to pixels of the image, u = row 0 . (x, y, 1), v = row 1 . (x, y, 1). A photo has "camera" instead.
std::string truth_json(const Layout& layout, const Chart& chart, const Causes& causes,
                       const PrintOptions& print, const ScanOptions& scan, const SimulatedScan& simulated,
                       const Origin& origin, const CameraOptions* camera = nullptr);

}  // namespace scrapetrace::report
