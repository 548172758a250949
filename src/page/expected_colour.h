#pragma once
// What a chart should look like: linear colours of its patches over paper.

#include <cstdint>
#include <vector>

#include "base/floor_of.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::page {

// Density over paper of a solid of these inks, Beer-Lambert (densities add); for a grey scan all three
// channels carry the density of the Rec. 709 luminance (weights 0.2126, 0.7152, 0.0722; IEC 61966-2-1).
Rgb solid_density(const Layout& layout, const std::vector<std::string>& inks, bool grey);

// Linear signal of a patch over that of paper, coverage by area (Murray-Davies).
Rgb patch_linear(const Layout& layout, const Patch& patch, bool grey);

// Index of the patch at each point of a grid over the sheet, -1 for bare paper. Most rows of the grid are
// like the one above, and are kept once.
class ChartImage {
 public:
  explicit ChartImage(const Chart& chart, double cell_mm = 0.5);
  // -1 on bare paper, -2 off the sheet.
  [[nodiscard]] int patch_at(double x_mm, double y_mm) const {
    const int i = floor_of(x_mm / cell_mm_);
    const int row = row_at(y_mm);
    if (i < 0 || i >= width_ || row < 0) return -2;
    return patch_[static_cast<std::size_t>(row) * static_cast<std::size_t>(width_) +
                  static_cast<std::size_t>(i)];
  }
  // The same for all y at which the sheet looks the same; -1 off the sheet.
  [[nodiscard]] int row_at(double y_mm) const {
    const int j = floor_of(y_mm / cell_mm_);
    return j < 0 || j >= static_cast<int>(row_.size()) ? -1 : row_[static_cast<std::size_t>(j)];
  }

 private:
  double cell_mm_;
  int width_;
  std::vector<int> row_;             // of the grid's rows: which of those that are kept
  std::vector<std::int16_t> patch_;  // row by row
};

}  // namespace scrapetrace::page
