#pragma once
// The pixels of an opened page into its raster, by whoever reads them fastest.

#include <memory>

#include "scan/open_page.h"
#include "scan/page_sums.h"

namespace scrapetrace::scan {

// What becomes of an opened page's pixels.
struct PixelsWanted {
  StoredSize size;
  bool as_stored = false;  // nothing is to be done to the colours
  SumsOptions sums;
  Room room;
  int threads = 0;  // 0: as many as the processor runs at once
};

// All that is added up of them, light and overview in `page`. Null, with libvips' complaint set
// where it has opened the page, when they cannot all be read.
std::unique_ptr<PageSums> take_pixels(const ScanFile& file, int index, const OpenedPage& opened,
                                      const PixelsWanted& wanted, PageRaster& page);

}  // namespace scrapetrace::scan
