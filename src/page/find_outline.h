#pragma once
// Outlines of a sheet and of its print as a camera shows them.

#include <Eigen/Core>
#include <array>
#include <optional>

#include "page/coarse_map.h"
#include "scrapetrace/chart.h"

namespace scrapetrace::page {

// Corners clockwise from the top left, raster pixels.
using Quadrangle = std::array<Eigen::Vector2d, 4>;

struct Outlines {
  std::optional<Quadrangle> sheet;  // table to paper
  std::optional<Quadrangle> print;  // paper to ink
};

// Walks lines inward from each side of the picture until they meet paper and then ink. A straight line that
// most of a side's lines agree on (from all pairs of a few, then least squares) is the outline. Needs a
// rotation below 35 degrees and a table darker than paper by a fifth.
Outlines find_outlines(const CoarseMap& map);

// The rectangle that such lines would meet on a chart: {x from, x to}, {y from, y to} in mm, where most lines
// from outside first meet a patch.
struct PrintRectangle {
  std::array<double, 2> x_mm{};
  std::array<double, 2> y_mm{};
};
PrintRectangle print_rectangle(const Chart& chart);

}  // namespace scrapetrace::page
