#pragma once
// Detects CMYK that was computed from RGB without a press profile.
//
// Many programs save RGB as its complement: C = 1 - R and so on, without black or with the least of the three
// moved to black. R = (1 - C)(1 - K) then restores the picture exactly; a press profile would distort it.

#include <string>
#include <vector>

#include "scan/vips_image.h"

namespace scrapetrace::scan {

// CMYK of 8 or 16 bits without a profile.
bool is_bare_cmyk(VipsImage* image);

// Whether such a picture is a complement. A press separation has black under dark colours and colours under
// black; a complement lacks one or the other. Reads all rows. False also when they cannot be read or hold
// nothing dark.
bool is_complement(VipsImage* image);

// Converts a complement to RGB of the same depth and says so in `notes`. On failure the image is unchanged.
void undo_complement(Image& image, std::vector<std::string>& notes);

}  // namespace scrapetrace::scan
