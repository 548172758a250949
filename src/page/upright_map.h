#pragma once
// The coarse map rotated upright: x along rows, the process direction down columns.

#include <array>
#include <cstddef>
#include <vector>

#include "page/coarse_map.h"
#include "page/raster_from_sheet.h"

namespace scrapetrace::page {

// Upright frame (mm): origin in the raster's middle, x to the right, y along the process direction.
struct UprightMap {
  RasterFromSheet raster_from_upright;
  double cell_mm = 1;
  double left_mm = 0;  // outer corner of cell (0, 0)
  double top_mm = 0;
  int width = 0;
  int height = 0;
  std::vector<std::array<float, 3>> linear;  // 1 = full scale; negative outside the raster

  [[nodiscard]] const std::array<float, 3>& at(int i, int j) const {
    return linear[static_cast<std::size_t>(j) * static_cast<std::size_t>(width) +
                  static_cast<std::size_t>(i)];
  }
  // Upright mm from cells counted from the corner of cell (0, 0), and back.
  [[nodiscard]] double x_mm(double cells) const { return left_mm + cells * cell_mm; }
  [[nodiscard]] double y_mm(double cells) const { return top_mm + cells * cell_mm; }
  [[nodiscard]] double column(double x) const { return (x - left_mm) / cell_mm; }
  [[nodiscard]] double row(double y) const { return (y - top_mm) / cell_mm; }
};

// `raster_from_upright` defines the frame. Same cell size as `coarse`, bilinear interpolation.
UprightMap make_upright_map(const CoarseMap& coarse, const RasterFromSheet& raster_from_upright);

}  // namespace scrapetrace::page
