#pragma once
// Phrases that several messages share.

namespace scrapetrace::scan {

inline constexpr const char* kFormats = "TIFF, PNG, JPEG, WebP, HEIC, AVIF or PDF";

// For pictures in grey or RGB without a profile.
inline constexpr const char* kTakenAsSrgb =
    "the file carries no colour profile: its colours were taken as sRGB";

}  // namespace scrapetrace::scan
