#pragma once
// Refines tag corners to a few hundredths of a pixel by lines through the four outer edges, in linear light.
// The detector's own corners have a bias of up to a quarter of a pixel.

#include "tags/find_tags.h"

namespace scrapetrace::tags {

// Corners from remeasured edges; unchanged where an edge cannot be measured (low contrast, outside the
// picture). Codes are sRGB.
std::array<std::array<double, 2>, 4> refine_corners(const GreyView& picture,
                                                    const std::array<std::array<double, 2>, 4>& corners_px);

}  // namespace scrapetrace::tags
