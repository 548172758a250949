#pragma once
// The rows of a page, decoded and added up on as many threads as it can be shared among.

#include "scan/page_decoder.h"
#include "scan/page_sums.h"

namespace scrapetrace::scan {

// Adds all rows of an image of `height_px` to `sums`, whose numbers are the same whatever the number of
// threads. False when not all rows can be decoded: then `sums` is of no use.
bool add_up(PageDecoder& decoder, int height_px, int threads, PageSums& sums);

}  // namespace scrapetrace::scan
