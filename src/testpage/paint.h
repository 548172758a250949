#pragma once
// Drawings to PDF and to pixels. This file's source alone knows cairo.

#include <cstdint>
#include <string>
#include <vector>

#include "scrapetrace/result.h"
#include "testpage/drawing.h"

namespace scrapetrace::testpage {

// One page per drawing, vector shapes at their exact size, colours in the printer's own RGB. The same
// drawings give the same bytes.
Result<std::string> paint_pdf(const std::vector<Drawing>& pages, const std::string& title);

struct RgbImage {
  int width_px = 0;
  int height_px = 0;
  std::vector<std::uint8_t> rgb;  // sRGB, interleaved
};

// `dpi` 50 to 600. Pixels that a shape covers in part take part of its colour.
Result<RgbImage> paint_pixels(const Drawing& page, double dpi);

}  // namespace scrapetrace::testpage
