#pragma once
// What a file says about its resolution, and whether that can be true.

#include <array>
#include <string>

#include "scan/jpeg_header.h"
#include "scan/raster_plan.h"
#include "scan/vips_image.h"

namespace scrapetrace::scan {

enum class Format { tiff, png, jpeg, webp, heif, pdf };

// Pixels per inch of the stored image's columns and rows; 0: none, or not believable.
struct ResolutionTags {
  double across = 0;
  double along = 0;
  std::string conflict;  // two statements of the file that cannot both be true, as a clause; empty: none
};

// `jpeg` is the header of a JPEG file, for its JFIF density, which libvips hides behind Exif.
ResolutionTags read_resolution(VipsImage* image, Format format, const JpegHeader* jpeg);

// From a header's pixels per millimetre, across and along.
ResolutionTags believable_tags(const std::array<double, 2>& px_per_mm);

// The same for a JPEG, which may state it twice; 0: not stated.
ResolutionTags jpeg_tags(const std::array<double, 2>& exif_px_per_mm,
                         const std::array<double, 2>& jfif_px_per_mm);

}  // namespace scrapetrace::scan
