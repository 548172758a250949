#pragma once
// From the profiles of a job's scans to its answer.

#include <vector>

#include "locate/prepare_scan.h"

namespace scrapetrace::locate_detail {

// A scan's ways round, each with its profiles.
using Ways = std::vector<AnalysedScan>;

// Of scans of now, which `inputs` are, and then of those from before.
LocateResult locate_prepared(const Layout& layout, std::vector<Ways> ways,
                             const std::vector<ScanInput>& inputs, const LocateOptions& options);

}  // namespace scrapetrace::locate_detail
