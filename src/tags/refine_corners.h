#pragma once
// Corners of a tag to a few hundredths of a pixel: straight lines through the four outer edges, measured in
// linear light. The detector's own corners are off by up to a quarter of a pixel, always the same way.

#include "tags/find_tags.h"

namespace scrapetrace::tags {

// The corners with their edges measured anew; as they were where an edge cannot be measured (contrast gone,
// beyond the picture). The picture's codes are sRGB.
std::array<std::array<double, 2>, 4> refine_corners(const GreyView& picture,
                                                    const std::array<std::array<double, 2>, 4>& corners_px);

}  // namespace scrapetrace::tags
