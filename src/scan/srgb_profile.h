#pragma once
// Scanners mostly embed the profile of sRGB itself, in one of its many forms.

#include "scan/vips_image.h"

namespace scrapetrace::scan {

// Whether the profile that is embedded in an 8-bit RGB image leaves its colours as they are, but for
// rounding: then they need not be converted, which takes several times longer than to decode them.
bool has_srgb_profile(VipsImage* image);

}  // namespace scrapetrace::scan
