#pragma once
// A TIFF's strips, decoded on as many threads as there are.

#include <memory>

#include "scan/page_decoder.h"
#include "scan/page_sums.h"
#include "scan/scan_file.h"

namespace scrapetrace::scan {

// Of page `index`, when its strips hold the pixels as they are (tiff_handle.h) and it is of this size; else
// null. `file` is read while pixels are.
std::unique_ptr<PageDecoder> tiff_decoder(const ScanFile& file, int index, const StoredSize& size);

}  // namespace scrapetrace::scan
