#pragma once
// Finds even inked rectangles in an upright picture, across streaks.

#include <vector>

#include "page/find_sheet.h"
#include "page/upright_map.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::page {

struct RectangleOptions {
  double least_width_mm = 20.0;
  double least_height_mm = 4.0;
  double widest_damage_mm = 15.0;  // widest streak that does not split a rectangle
};

struct FoundRectangle {
  std::array<double, 2> x_mm{};  // upright frame, to a fraction of a cell
  std::array<double, 2> y_mm{};
  Rgb over_paper{};     // linear signal over paper, median of sound cells
  double blank_mm = 0;  // widest unprinted gap across
};

// Streaks run along y. So each column is split into even runs first; runs of equal colour and ends form a
// rectangle, however many damaged columns lie between.
std::vector<FoundRectangle> find_rectangles(const UprightMap& map, const FoundSheet& sheet, const Rgb& paper,
                                            const RectangleOptions& options);

}  // namespace scrapetrace::page
