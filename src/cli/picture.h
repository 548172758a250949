#pragma once
// Drawings and pixels to files.

#include <string>

#include "scan/write_image.h"
#include "scrapetrace/result.h"

namespace scrapetrace::cli {

// Writes an image file of the suffix's format; to a stream without suffix as TIFF.
Problems write_pixels(const scan::Pixels& pixels, const std::string& path, scan::ImageOptions options);

// Problems that would keep a picture from being written: suffix (.svg or .png) or folder. "-" and streams
// without suffix get SVG.
Problems check_picture(const std::string& path);

// As SVG or rasterised, by the suffix.
Problems write_picture(const std::string& path, const std::string& svg);

}  // namespace scrapetrace::cli
