#pragma once
// Straight lines around a sheet, and around its print, as a camera shows them.

#include <Eigen/Core>
#include <array>
#include <optional>

#include "page/coarse_map.h"
#include "scrapetrace/chart.h"

namespace scrapetrace::page {

// Corners, clockwise from the top left, raster pixels.
using Quadrangle = std::array<Eigen::Vector2d, 4>;

struct Outlines {
  std::optional<Quadrangle> sheet;  // where the table turns to paper
  std::optional<Quadrangle> print;  // where paper turns to ink
};

// Lines of the map are walked inward from each side of the picture to where they meet paper, and then ink;
// the straight line that most of a side's lines agree on (all pairs of a few of them, then least squares) is
// the outline there. For pictures turned by less than 35 degrees, and tables darker than the paper by a
// fifth.
Outlines find_outlines(const CoarseMap& map);

// What the walk would meet of a chart's patches: the rectangle {x from, x to}, {y from, y to} whose sides
// most lines from outside meet first, mm.
struct PrintRectangle {
  std::array<double, 2> x_mm{};
  std::array<double, 2> y_mm{};
};
PrintRectangle print_rectangle(const Chart& chart);

}  // namespace scrapetrace::page
