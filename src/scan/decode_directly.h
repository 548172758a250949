#pragma once
// The pixels of common scans without libvips: by the same libraries that libvips asks, on several threads.

#include <memory>

#include "scan/open_page.h"
#include "scan/page_decoder.h"
#include "scan/page_sums.h"

namespace scrapetrace::scan {

// For an opened page whose pixels are wanted as they are stored, of that size; null: libvips reads it, as it
// does what a decoder fails at. `file` and `opened` must outlive it.
std::unique_ptr<PageDecoder> direct_decoder(const ScanFile& file, int index, const OpenedPage& opened,
                                            const StoredSize& size);

}  // namespace scrapetrace::scan
