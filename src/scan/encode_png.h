#pragma once

#include <string>

#include "scan/write_image.h"
#include "scrapetrace/result.h"

namespace scrapetrace::scan {

// A PNG file in memory from 8-bit pixels.
Result<std::string> encode_png(const Pixels& pixels);

}  // namespace scrapetrace::scan
