#pragma once
// Decodes a JPEG on several threads; each skips the rows above its stretch.

#include <memory>

#include "scan/jpeg_rows.h"
#include "scan/page_decoder.h"

namespace scrapetrace::scan {

// For a picture of this size that JpegRows (jpeg_rows.h) reads; else null. The source must outlive the
// decoder.
std::unique_ptr<PageDecoder> jpeg_decoder(const JpegSource& source, const StoredSize& size);

}  // namespace scrapetrace::scan
