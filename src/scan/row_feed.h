#pragma once
// The rows of a libvips image, one after the other.

#include "scan/rows.h"
#include "scan/vips_image.h"

namespace scrapetrace::scan {

// Decodes `image` from top to bottom on the calling thread and hands `take` every strip, in order, on one
// other thread. A few strips are under way at a time. False, with libvips' complaint set, when the pixels
// cannot be read. What `take` throws is thrown here.
bool feed_rows(VipsImage* image, int rows_per_strip, const Take& take);

}  // namespace scrapetrace::scan
