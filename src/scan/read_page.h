#pragma once
// Pages of files that are open already.

#include "scan/scan_file.h"
#include "scrapetrace/read_page.h"

namespace scrapetrace::scan {

// Page `index`, from 0, of an opened file; problems name the file.
Result<PageRaster> read_page(const ScanFile& file, int index, const ReadOptions& options);

}  // namespace scrapetrace::scan
