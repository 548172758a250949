#pragma once
// Embedded colour profiles; scanners mostly embed a variant of sRGB.

#include "scan/vips_image.h"

namespace scrapetrace::scan {

// Whether the profile of an 8-bit RGB image leaves its colours unchanged but for rounding. The conversion can
// then be skipped; it takes several times longer than decoding.
bool has_srgb_profile(VipsImage* image);

// Converts by the embedded profile, to 8 or 16 bits. On failure returns false and leaves the image unchanged.
bool to_srgb_by_own_profile(Image& image, int bits);

}  // namespace scrapetrace::scan
