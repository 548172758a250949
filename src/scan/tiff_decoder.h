#pragma once
// Decodes a TIFF's strips on several threads.

#include <memory>

#include "scan/page_decoder.h"
#include "scan/page_sums.h"
#include "scan/scan_file.h"

namespace scrapetrace::scan {

// For page `index`, when its strips hold plain pixels (tiff_handle.h) of this size; else null. `file` must
// outlive the decoder.
std::unique_ptr<PageDecoder> tiff_decoder(const ScanFile& file, int index, const StoredSize& size);

}  // namespace scrapetrace::scan
