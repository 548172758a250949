#pragma once
// CMYK that no press had a part in.
//
// Many programs save RGB as CMYK by taking the complement: C = 1 - R and so on, with no black, or with the
// least of the three moved into black. Either way R = (1 - C)(1 - K) brings the picture back to the last bit,
// where a press profile would bend every curve.

#include <string>
#include <vector>

#include "scan/vips_image.h"

namespace scrapetrace::scan {

// CMYK of 8 or 16 bits without a profile.
bool is_bare_cmyk(VipsImage* image);

// Whether such a picture is a complement. A press separation has black under its dark colours and colours
// under its black; a complement lacks one or the other. Reads all rows; false also where they cannot be read
// or hold nothing dark enough to tell.
bool is_complement(VipsImage* image);

// RGB out of a complement, in as many bits, said in `notes`. Where that fails the image stays as it was.
void undo_complement(Image& image, std::vector<std::string>& notes);

}  // namespace scrapetrace::scan
