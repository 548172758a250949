#pragma once
// Splits columns of an upright picture into even, inked runs with sharp ends.

#include <array>
#include <vector>

#include "page/find_sheet.h"
#include "page/upright_map.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::page {

using Lightness = std::array<float, 3>;

// Cube root of the signal over paper (like CIE 1976 L* of luminance), so that equal steps look equal on light
// and dark inks; negative off the sheet.
class LightnessMap {
 public:
  LightnessMap(const UprightMap& map, const FoundSheet& sheet, const Rgb& paper);
  [[nodiscard]] int width() const { return width_; }
  [[nodiscard]] int height() const { return height_; }
  [[nodiscard]] const Lightness& at(int i, int j) const {
    return cells_[static_cast<std::size_t>(j) * static_cast<std::size_t>(width_) +
                  static_cast<std::size_t>(i)];
  }
  [[nodiscard]] bool on_sheet(int i, int j) const { return at(i, j)[0] >= 0; }

 private:
  int width_;
  int height_;
  std::vector<Lightness> cells_;
};

float largest_difference(const Lightness& a, const Lightness& b);

struct Run {
  int column = 0;
  double from = 0;  // in cells from the corner of cell (0, 0)
  double to = 0;
  Lightness lightness{};  // median
};

// Ink is darker than paper by this much; a sharp end is a step of this size within two cells; an even run
// stays within a band of lightness.
struct RunOptions {
  float least_ink = 0.03F;
  float least_step = 0.03F;
  float evenness = 0.07F;
  double shortest_cells = 5;
};

std::vector<Run> column_runs(const LightnessMap& map, const RunOptions& options);

}  // namespace scrapetrace::page
