#pragma once
// Shifts the rows of a page sideways.

#include <functional>
#include <vector>

#include "scrapetrace/page.h"

namespace scrapetrace::page {

// Resamples every pixel from `shifts_px(v_px)` pixels to the left, one number per column, for the block whose
// middle row is v_px. Keys' cubic convolution (1981, a = -1/2).
PageRaster with_rows_shifted(const PageRaster& raster,
                             const std::function<std::vector<double>(double v_px)>& shifts_px);

}  // namespace scrapetrace::page
