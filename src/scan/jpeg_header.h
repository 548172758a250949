#pragma once
// What a JPEG's header tells beyond what libvips passes on. With jpeg_rows.h, alone knows libjpeg.

#include <array>
#include <cstdio>
#include <optional>
#include <string>

namespace scrapetrace::scan {

struct JpegHeader {
  std::array<double, 2> density_px_per_mm{};  // of the JFIF header, across and along; 0: none
  // Standard deviation that rounding to the luma quantisation table alone puts on a pixel, code values:
  // sqrt(mean of q^2 / 12) over the 64 coefficients, as the transform is orthonormal (ISO/IEC 10918-1, A.3.3,
  // A.3.4). An upper bound: coefficients that round to nought lose only what they held.
  double quantisation_sigma = 0;
  std::array<bool, 2> thinned{};  // one chroma sample for two pixels, across and along the stored image
  std::string exif;               // the segment with Exif data, whole; empty: none
  bool says_more = false;  // more such segments, or ones with XMP, colour profiles or Photoshop's notes
};

// Of a JPEG file, read on from where it stands, or of one in memory. Nothing when there is no JPEG header to
// read.
std::optional<JpegHeader> read_jpeg_header(std::FILE* file);
std::optional<JpegHeader> read_jpeg_header_of(const std::string& bytes);

}  // namespace scrapetrace::scan
