#pragma once
// A sheet's corners in a photo, as words of a command.

#include <optional>
#include <string>

#include "scrapetrace/photo.h"

namespace scrapetrace::cli {

// "X,Y:X,Y:X,Y:X,Y", pixels; nothing unless there are four places that go round a sheet.
std::optional<PhotoCorners> corners_in(const std::string& words);

}  // namespace scrapetrace::cli
