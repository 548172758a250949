#pragma once
// Luminance made as blunt as a JPEG's thinned colour, so that one blur holds for every ink.
//
// A coder that keeps one chroma sample for two pixels takes their mean, and decoders bring the pixels back by
// weighing the two nearest samples 3 to 1 (the triangle filter that libjpeg calls fancy upsampling). Over
// both phases the two make the binomial filter (1 4 6 4 1) / 16: coloured lines go through it, black ones do
// not.

#include "scan/jpeg_header.h"
#include "scan/vips_image.h"

namespace scrapetrace::scan {

// Puts that filter on the luminance (ITU-T T.871, clause 7) of an 8-bit image of three bands, along the axes
// that the coder has thinned; leaves others alone. False, with libvips' complaint set, when libvips fails.
bool even_colour(Image& image, const JpegHeader& header);

}  // namespace scrapetrace::scan
