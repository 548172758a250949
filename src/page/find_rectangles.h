#pragma once
// Even, inked rectangles of an upright picture, streaks and all.

#include <vector>

#include "page/find_sheet.h"
#include "page/upright_map.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::page {

struct RectangleOptions {
  double least_width_mm = 20.0;
  double least_height_mm = 4.0;
  double widest_damage_mm = 15.0;  // of a streak that still leaves one rectangle
};

struct FoundRectangle {
  std::array<double, 2> x_mm{};  // upright frame, to a fraction of a cell
  std::array<double, 2> y_mm{};
  Rgb over_paper{};     // linear signal over paper, median over the undamaged cells
  double blank_mm = 0;  // widest gap across in which nothing is printed at all
};

// Streaks run along y, so every column of cells is cut into even stretches first; stretches of the same
// colour that begin and end alike make a rectangle, however many damaged columns lie between them.
std::vector<FoundRectangle> find_rectangles(const UprightMap& map, const FoundSheet& sheet, const Rgb& paper,
                                            const RectangleOptions& options);

}  // namespace scrapetrace::page
