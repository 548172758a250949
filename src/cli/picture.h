#pragma once
// Drawings and pixels to files.

#include <string>

#include "scan/write_image.h"
#include "scrapetrace/result.h"

namespace scrapetrace::cli {

// Pixels as an image file: the suffix says which kind, and where a stream has none it is TIFF, as for "-".
Problems write_pixels(const scan::Pixels& pixels, const std::string& path, scan::ImageOptions options);

// What keeps a picture from being written at `path`: its suffix (.svg or .png) or its folder. "-" is fine:
// the drawing as it is, which the command prints; so is a stream without a suffix.
Problems check_picture(const std::string& path);

// The drawing as it is, or turned into pixels, as the suffix says.
Problems write_picture(const std::string& path, const std::string& svg);

}  // namespace scrapetrace::cli
