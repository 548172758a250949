#pragma once
// Parses the corners of a sheet in a photo.

#include <optional>
#include <string>

#include "scrapetrace/photo.h"

namespace scrapetrace::cli {

// "X,Y:X,Y:X,Y:X,Y", pixels; nothing unless they form a convex quadrangle.
std::optional<PhotoCorners> corners_in(const std::string& words);

}  // namespace scrapetrace::cli
