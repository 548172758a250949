#pragma once
// Words that several messages share.

namespace scrapetrace::scan {

inline constexpr const char* kFormats = "TIFF, PNG, JPEG, WebP, HEIC, AVIF or PDF";

// Said of pictures without a profile whose colours are grey or RGB.
inline constexpr const char* kTakenAsSrgb =
    "the file carries no colour profile: its colours were taken as sRGB";

}  // namespace scrapetrace::scan
