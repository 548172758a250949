#pragma once
// Writes pixels to an image file, atomically.

#include <cstdint>
#include <span>
#include <string>

#include "base/atomic_file.h"
#include "scrapetrace/result.h"

namespace scrapetrace::scan {

// sRGB-coded pixels, rows of interleaved bands: 1 grey, 3 RGB, 4 RGBA; 8 bits, or 16 in host byte order.
struct Pixels {
  int width_px = 0;
  int height_px = 0;
  int bands = 3;
  int bits = 8;
  std::span<const std::uint8_t> data;
};

enum class TiffCompression { none, lzw, deflate };

struct ImageOptions {
  TiffCompression tiff_compression = TiffCompression::lzw;
  int jpeg_quality = 92;  // 1 to 100
  double dpi = 0;         // above 0; used with resolution_tags
  Existing existing = Existing::replace;
  bool resolution_tags =
      true;  // false: libvips' default of 1 px per mm (25.4 dpi), which readers take for none
};

struct Written {
  std::string path;
};

// The suffix chooses the format: .tif, .tiff, .png, .jpg or .jpeg, in any case. `path` holds the old file or
// the whole new one.
Result<Written> write_image(const Pixels& pixels, const std::string& path, const ImageOptions& options);

// The same in memory; `suffix` (".tif", ...) chooses the format.
Result<std::string> encode_image(const Pixels& pixels, const std::string& suffix,
                                 const ImageOptions& options);

}  // namespace scrapetrace::scan
