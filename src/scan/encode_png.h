#pragma once
// Pixels to a PNG in memory.

#include <string>

#include "scan/write_image.h"
#include "scrapetrace/result.h"

namespace scrapetrace::scan {

// A whole PNG file's bytes. `pixels` are of 8 bits.
Result<std::string> encode_png(const Pixels& pixels);

}  // namespace scrapetrace::scan
