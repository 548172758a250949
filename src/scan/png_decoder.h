#pragma once
// A PNG's rows, inflated on one thread while another one undoes their filters and takes them.

#include <memory>

#include "scan/page_decoder.h"
#include "scan/page_sums.h"
#include "scan/scan_file.h"

namespace scrapetrace::scan {

// Of a picture of this size that PngStream (png_stream.h) reads; else null. `file` is read while pixels are.
std::unique_ptr<PageDecoder> png_decoder(const ScanFile& file, const StoredSize& size);

}  // namespace scrapetrace::scan
