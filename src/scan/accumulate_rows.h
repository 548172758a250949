#pragma once
// Decodes a page and accumulates its rows, on several threads where the decoder allows it.

#include "scan/page_decoder.h"
#include "scan/page_sums.h"

namespace scrapetrace::scan {

// Adds all rows of an image of `height_px` to `sums`; the result does not depend on `threads`. False when
// some row cannot be decoded: `sums` is then meaningless.
bool accumulate_rows(PageDecoder& decoder, int height_px, int threads, PageSums& sums);

}  // namespace scrapetrace::scan
