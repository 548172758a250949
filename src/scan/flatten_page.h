#pragma once
// Photos in files that are open already.

#include "scan/scan_file.h"
#include "scrapetrace/flatten_page.h"

namespace scrapetrace::scan {

// Page `index`, from 0, of an opened file.
Result<PageRaster> flatten_page(const ScanFile& file, int index, const PhotoMap& map,
                                const FlattenOptions& options);

}  // namespace scrapetrace::scan
