#pragma once
// Whatever colours a file holds, as sRGB or grey.

#include <string>
#include <vector>

#include "scan/shared_words.h"
#include "scan/vips_image.h"

namespace scrapetrace::scan {

// To sRGB of three bands or grey of one, without alpha (which lies on white), 16 bits where the source has
// them and 8 otherwise. Colours go through the embedded profile, unless that is sRGB's own; without one, RGB
// and grey are taken as sRGB and CMYK as libvips' own press profile, and `notes` says so. False, with
// libvips' complaint set or an empty one, when it cannot be done.
bool to_plain_colour(Image& image, std::vector<std::string>& notes);

}  // namespace scrapetrace::scan
