#pragma once
// Drawings to files, and pages into drawings.

#include <optional>
#include <string>
#include <vector>

#include "report/picture_svg.h"
#include "scrapetrace/page.h"
#include "scrapetrace/result.h"

namespace scrapetrace::cli {

// What keeps a picture from being written at `path`: its suffix (.svg or .png) or its folder. "-" is fine:
// the drawing as it is, which the command prints.
Problems check_picture(const std::string& path);

// The drawing as it is, or turned into pixels, as the suffix says.
Problems write_picture(const std::string& path, const std::string& svg);

// Pages that cannot be encoded are left out.
std::vector<std::optional<report::EncodedThumbnail>> encode(
    const std::vector<std::optional<Thumbnail>>& pages);

}  // namespace scrapetrace::cli
