#pragma once
// A picture that the caller holds in memory, into a PageRaster: for a service, a binding or a browser. Opens
// no file and needs no decoder. sheet_from_pixels() (sheet.h) is the same with photos made flat.

#include <cstddef>
#include <string>

#include "scrapetrace/flatten_page.h"
#include "scrapetrace/page.h"
#include "scrapetrace/read_page.h"
#include "scrapetrace/result.h"

namespace scrapetrace::scan {

// Interleaved sRGB-coded samples (IEC 61966-2-1), rows from the top. Not owned: they stay as they are while a
// call lasts.
struct PixelView {
  const void* samples = nullptr;  // of the topmost row
  int width_px = 0;               // at most 200,000, as height_px
  int height_px = 0;
  int channels = 3;                  // 1: grey; 3: red, green, blue; 4: these and alpha, which lies on white
  int bits = 8;                      // of a sample: 8, or 16 in host byte order
  std::ptrdiff_t stride_bytes = 0;   // from row to row, below 0 upwards; 0: no gap between rows
  double dpi = 0;                    // 50 to 9600, both ways; 0: unknown, as of a photo
  int orientation = 1;               // how the rows are to be shown, by Exif's numbers, 1 to 8
  bool lossy = false;                // they went through a coder such as JPEG's on their way here
  std::string name = "the picture";  // for problems
};

// As read_page() of a file with these pixels. Of the limits in `options` none counts: the pixels are there.
// Problems name the view's field, its value and what is allowed.
Result<PageRaster> raster_from_pixels(const PixelView& view, const ReadOptions& options);

// As flatten_page() of a file with these pixels. (`orientation` does not count: the map is of the rows as
// they are.)
Result<PageRaster> flatten_pixels(const PixelView& view, const PhotoMap& map, const FlattenOptions& options);

}  // namespace scrapetrace::scan
