#pragma once
// Reads the pixels of an opened page with the fastest decoder that takes it.

#include <memory>

#include "scan/open_page.h"
#include "scan/page_sums.h"

namespace scrapetrace::scan {

// How the pixels of an opened page are to be read.
struct PixelsWanted {
  StoredSize size;
  bool as_stored = false;  // no colour conversion
  SumsOptions sums;
  LightSinkFactory make_sink;
  int threads = 0;  // 0: one per hardware thread
};

// Reads all pixels; light and overview go to `page`. Null when some cannot be read, with libvips' error set
// if libvips opened the page.
std::unique_ptr<PageSums> take_pixels(const ScanFile& file, int index, const OpenedPage& opened,
                                      const PixelsWanted& wanted, PageRaster& page);

}  // namespace scrapetrace::scan
