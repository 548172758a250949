#pragma once
// Decodes a PNG: one thread inflates, another undoes the filters and consumes the rows.

#include <memory>

#include "scan/page_decoder.h"
#include "scan/page_sums.h"
#include "scan/scan_file.h"

namespace scrapetrace::scan {

// For a picture of this size that PngStream (png_stream.h) reads; else null. `file` must outlive the decoder.
std::unique_ptr<PageDecoder> png_decoder(const ScanFile& file, const StoredSize& size);

}  // namespace scrapetrace::scan
