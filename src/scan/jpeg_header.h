#pragma once
// What a JPEG header says beyond what libvips passes on. Only this file and jpeg_rows.h know libjpeg.

#include <array>
#include <cstdio>
#include <optional>
#include <string>

namespace scrapetrace::scan {

struct JpegHeader {
  std::array<double, 2> density_px_per_mm{};  // of the JFIF header, across and along; 0: none
  // Standard deviation per pixel, in code values, of rounding to the luma quantisation table: sqrt(mean of
  // q^2 / 12) over the 64 coefficients, since the transform is orthonormal (ISO/IEC 10918-1, A.3.3, A.3.4).
  // An upper bound: a coefficient rounded to 0 loses only what it held.
  double quantisation_sigma = 0;
  std::array<bool, 2> thinned{};  // chroma subsampled by two, across and along the stored image
  std::string exif;               // the whole Exif segment; empty: none
  bool says_more = false;         // more Exif segments, XMP, ICC profiles or Photoshop data
};

// From a file at its current position, or from memory. Nothing without a JPEG header.
std::optional<JpegHeader> read_jpeg_header(std::FILE* file);
std::optional<JpegHeader> read_jpeg_header_of(const std::string& bytes);

}  // namespace scrapetrace::scan
