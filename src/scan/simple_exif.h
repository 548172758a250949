#pragma once
// Exif data of a JPEG, as far as scanners write them (Exif 2.32, 4.5 and 4.6): which way up, and the
// resolution.

#include <array>
#include <optional>
#include <string_view>

namespace scrapetrace::scan {

struct SimpleExif {
  int orientation = 1;                // 1 to 8
  std::array<double, 2> px_per_mm{};  // across and along; 0: none
};

// Of the whole segment, which begins with "Exif". Nothing unless its first directory is in every entry as it
// should be, so that there is no question what other readers make of it.
std::optional<SimpleExif> read_simple_exif(std::string_view segment);

}  // namespace scrapetrace::scan
