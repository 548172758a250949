#pragma once
// Embedded colour profiles. Scanners mostly embed that of sRGB itself, in one of its many forms.

#include "scan/vips_image.h"

namespace scrapetrace::scan {

// Whether the profile that is embedded in an 8-bit RGB image leaves its colours as they are, but for
// rounding: then they need not be converted, which takes several times longer than to decode them.
bool has_srgb_profile(VipsImage* image);

// Through the embedded profile, to 8 or 16 bits. False, with the image as it was, when that cannot be done.
bool to_srgb_by_own_profile(Image& image, int bits);

}  // namespace scrapetrace::scan
