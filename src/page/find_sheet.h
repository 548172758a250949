#pragma once
// Finds the sheet against the scanner bed, and the colour of its paper.

#include <array>
#include <optional>

#include "page/coarse_map.h"
#include "page/upright_map.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::page {

// Upright frame, mm. A side not seen against the bed is at the image's edge.
struct FoundSheet {
  std::array<double, 2> x_mm{};  // left, right
  std::array<double, 2> y_mm{};  // top, bottom
  std::array<bool, 2> x_seen{};
};

// A side needs a straight change from bed to bright paper over most of the sheet's length. The print's own
// edge ends in ink and does not count.
FoundSheet find_sheet(const CoarseMap& coarse, const RasterFromSheet& raster_from_upright);

// Mean linear signal of the brightest neutral colour that covers a good part of the sheet; nothing when all
// is ink.
std::optional<Rgb> paper_colour(const UprightMap& map, const FoundSheet& sheet);

}  // namespace scrapetrace::page
