#pragma once
// Reads a page whose light goes to another process.

#include "scan/block_sums.h"
#include "scan/read_page.h"

namespace scrapetrace::scan {

// As read_page(), but the light goes to the sink, if any; the page's `linear` is then empty.
Result<PageRaster> read_page_into(const LightSinkFactory& make_sink, const ScanFile& file, int index,
                                  const ReadOptions& options);

}  // namespace scrapetrace::scan
