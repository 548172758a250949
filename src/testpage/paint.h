#pragma once
// Renders drawings to PDF and pixels. Only its source knows cairo.

#include <cstdint>
#include <string>
#include <vector>

#include "scrapetrace/result.h"
#include "testpage/drawing.h"

namespace scrapetrace::testpage {

// One page per drawing, vector shapes at exact size, device RGB. Deterministic.
Result<std::string> paint_pdf(const std::vector<Drawing>& pages, const std::string& title);

struct RgbImage {
  int width_px = 0;
  int height_px = 0;
  std::vector<std::uint8_t> rgb;  // sRGB, interleaved
};

// `dpi` 50 to 600. Antialiased.
Result<RgbImage> paint_pixels(const Drawing& page, double dpi);

}  // namespace scrapetrace::testpage
