#pragma once
// A decoded photo made flat, wherever its pixels come from: a file or the caller's memory.

#include <cstdint>
#include <optional>
#include <string>

#include "scan/page_sums.h"
#include "scrapetrace/flatten_page.h"

namespace scrapetrace::scan {

// sRGB-coded samples of one or three bands, row after row without a gap; not owned.
struct DecodedPicture {
  StoredSize size;
  const std::uint8_t* samples = nullptr;  // aligned for their size
};

// What keeps a photo of this size from being made flat; empty when nothing does.
std::string too_large_to_flatten(const StoredSize& size);

// As flatten_page(), without notes. Nothing when the photo shows too little of the sheet.
std::optional<PageRaster> flatten_picture(const DecodedPicture& decoded, const PhotoMap& map,
                                          const FlattenOptions& options);
inline constexpr const char* kShowsTooLittle =
    "is a photo that shows too little of the sheet; take all four corners into the picture";

}  // namespace scrapetrace::scan
