#pragma once
// Reads the rows of a libvips image in order.

#include "scan/rows.h"
#include "scan/vips_image.h"

namespace scrapetrace::scan {

// Decodes `image` from top to bottom on this thread and passes every strip, in order, to `sink` on one other
// thread. False, with libvips' error set, when pixels cannot be read. Rethrows what `sink` throws.
bool feed_rows(VipsImage* image, int rows_per_strip, const RowSink& sink);

}  // namespace scrapetrace::scan
