#pragma once
// The same case with more to go by: several sheets, one sheet twice, a sheet from before.

#include "score/case.h"
#include "scrapetrace/locate.h"

namespace scrapetrace::score {

// `first` is the case's first sheet as scanned. A sheet that cannot be rendered is read as a broken scan.
EvidenceRecord read_more(const Case& drawn, const ScanInput& first);

}  // namespace scrapetrace::score
