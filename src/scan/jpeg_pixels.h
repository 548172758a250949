#pragma once
// JPEG compression applied to pixels.

#include <cstdint>
#include <vector>

#include "scan/write_image.h"
#include "scrapetrace/result.h"

namespace scrapetrace::scan {

struct Decoded {
  std::vector<std::uint8_t> data;
  double quantisation_sigma = 0;  // of the header (jpeg_header.h)
};

// Encodes 8-bit pixels with quality 1 to 100 and decodes them as a page is read whose columns run across the
// print (`transposed`: whose rows do).
Result<Decoded> through_jpeg(const Pixels& pixels, int quality, bool transposed);

}  // namespace scrapetrace::scan
