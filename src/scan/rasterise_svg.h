#pragma once
// SVG to pixels.

#include <cstdint>
#include <string_view>
#include <vector>

#include "scrapetrace/result.h"

namespace scrapetrace::scan {

struct RgbaImage {
  int width_px = 0;
  int height_px = 0;
  std::vector<std::uint8_t> rgba;  // sRGB, interleaved, alpha not premultiplied
};

// `scale` pixels per CSS pixel of the drawing, above 0 and at most 100.
Result<RgbaImage> rasterise_svg(std::string_view svg, double scale);

}  // namespace scrapetrace::scan
