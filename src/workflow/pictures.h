#pragma once
// Small pictures of pages as files, for reports.

#include <optional>
#include <vector>

#include "report/picture_svg.h"
#include "scrapetrace/page.h"

namespace scrapetrace::workflow {

// Pages that cannot be encoded are left out.
std::vector<std::optional<report::EncodedThumbnail>> encode(
    const std::vector<std::optional<Thumbnail>>& pages);

}  // namespace scrapetrace::workflow
