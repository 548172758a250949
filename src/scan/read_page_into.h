#pragma once
// A page whose light somebody else keeps: the process that decodes it, for the one that judges it.

#include "scan/block_sums.h"
#include "scan/read_page.h"

namespace scrapetrace::scan {

// As read_page(), but the light goes where `room` has some; the page's `linear` is then empty.
Result<PageRaster> read_page_into(const Room& room, const ScanFile& file, int index,
                                  const ReadOptions& options);

}  // namespace scrapetrace::scan
