#pragma once
// Findings, and the scans that they rest on, for who asks the scans further: recheck_scans.h,
// fit_from_scans.h.

#include <vector>

#include "scrapetrace/locate.h"

namespace scrapetrace {

struct LocatedScans {
  LocateResult result;
  std::vector<ScanInput> scans;  // with all their light; a page that cannot be analysed is the reason why
};

// As locate(). The pages are moved, not copied: some 10 MB each.
LocatedScans locate_and_keep(const Layout& layout, const Chart* chart, std::vector<ScanInput> scans,
                             const LocateOptions& options);

}  // namespace scrapetrace
