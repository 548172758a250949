#pragma once
// Where the sheet ends and the scanner's bed begins, and the colour of its paper.

#include <array>
#include <optional>

#include "page/coarse_map.h"
#include "page/upright_map.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::page {

// In the upright frame, mm. A side that was not seen against the bed stands at the image's edge.
struct FoundSheet {
  std::array<double, 2> x_mm{};  // left, right
  std::array<double, 2> y_mm{};  // top, bottom
  std::array<bool, 2> x_seen{};
};

// A side is seen where one line of constant colour change, from the bed to bright paper, holds for most of
// the sheet's length; a print's own edge, which ends in ink, is none.
FoundSheet find_sheet(const CoarseMap& coarse, const RasterFromSheet& raster_from_upright);

// Mean linear signal of the brightest neutral colour that covers a good part of the sheet; nothing when all
// is ink.
std::optional<Rgb> paper_colour(const UprightMap& map, const FoundSheet& sheet);

}  // namespace scrapetrace::page
