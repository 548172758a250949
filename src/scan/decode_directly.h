#pragma once
// Decodes common scans without libvips: the same codec libraries, on several threads.

#include <memory>

#include "scan/open_page.h"
#include "scan/page_decoder.h"
#include "scan/page_sums.h"

namespace scrapetrace::scan {

// A decoder for an opened page whose pixels are wanted as stored, of that size. Null: libvips must read it.
// libvips also takes over when the decoder fails. `file` and `opened` must outlive the decoder.
std::unique_ptr<PageDecoder> direct_decoder(const ScanFile& file, int index, const OpenedPage& opened,
                                            const StoredSize& size);

}  // namespace scrapetrace::scan
