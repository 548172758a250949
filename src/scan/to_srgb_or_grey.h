#pragma once
// Converts any colour space to sRGB or grey.

#include <string>
#include <vector>

#include "scan/shared_messages.h"
#include "scan/vips_image.h"

namespace scrapetrace::scan {

// To three-band sRGB or one-band grey, without alpha (over white), 16 bits if the source has 16, else 8. Uses
// the embedded profile unless it is sRGB. Without a profile, RGB and grey are taken as sRGB and CMYK as
// libvips' press profile, and `notes` says so. On failure returns false, with libvips' error set or empty.
bool to_srgb_or_grey(Image& image, std::vector<std::string>& notes);

}  // namespace scrapetrace::scan
