#pragma once
// A JPEG's rows, decoded on several threads: whoever begins further down reads over what lies above.

#include <memory>

#include "scan/jpeg_rows.h"
#include "scan/page_decoder.h"

namespace scrapetrace::scan {

// Of a picture of this size that JpegRows (jpeg_rows.h) reads; else null. The source is read while pixels
// are.
std::unique_ptr<PageDecoder> jpeg_decoder(const JpegSource& source, const StoredSize& size);

}  // namespace scrapetrace::scan
