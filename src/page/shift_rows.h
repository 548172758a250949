#pragma once
// A page whose rows are moved sideways.

#include <functional>
#include <vector>

#include "scrapetrace/page.h"

namespace scrapetrace::page {

// Every pixel of a block of rows is taken from so many pixels to the left of its place: `shifts_px(v_px)` has
// one number per column for the block whose middle row is v_px. Keys' cubic convolution (1981, a = -1/2).
PageRaster with_rows_shifted(const PageRaster& raster,
                             const std::function<std::vector<double>(double v_px)>& shifts_px);

}  // namespace scrapetrace::page
