#pragma once
// Exif data as scanners write it (Exif 2.32, 4.5 and 4.6): orientation and resolution.

#include <array>
#include <optional>
#include <string_view>

namespace scrapetrace::scan {

struct SimpleExif {
  int orientation = 1;                // 1 to 8
  std::array<double, 2> px_per_mm{};  // across and along; 0: none
};

// From the whole segment, "Exif" first. Nothing unless every entry of the first directory is valid, so that
// all readers agree on its meaning.
std::optional<SimpleExif> read_simple_exif(std::string_view segment);

}  // namespace scrapetrace::scan
