#pragma once
// What JPEG makes of pixels.

#include <cstdint>
#include <vector>

#include "scan/write_image.h"
#include "scrapetrace/result.h"

namespace scrapetrace::scan {

// `pixels`, of 8 bits, encoded as JPEG in memory with a quality of 1 to 100 and decoded again.
Result<std::vector<std::uint8_t>> through_jpeg(const Pixels& pixels, int quality);

}  // namespace scrapetrace::scan
