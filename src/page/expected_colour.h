#pragma once
// The linear colours that a chart's patches should have, relative to paper.

#include <cstdint>
#include <vector>

#include "base/floor_of.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::page {

// Density over paper of a solid of these inks, Beer-Lambert (densities add). For a grey scan all channels
// have the density of the Rec. 709 luminance (weights 0.2126, 0.7152, 0.0722; IEC 61966-2-1).
Rgb solid_density(const Layout& layout, const std::vector<std::string>& inks, bool grey);

// Linear signal of a patch over paper; coverage by area (Murray-Davies).
Rgb patch_linear(const Layout& layout, const Patch& patch, bool grey);

// The patch index at each point of a grid over the sheet, -1 for bare paper. Equal rows are stored once.
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
  // The same number for all y with equal rows; -1 off the sheet.
  [[nodiscard]] int row_at(double y_mm) const {
    const int j = floor_of(y_mm / cell_mm_);
    return j < 0 || j >= static_cast<int>(row_.size()) ? -1 : row_[static_cast<std::size_t>(j)];
  }

 private:
  double cell_mm_;
  int width_;
  std::vector<int> row_;             // index of the stored row for each grid row
  std::vector<std::int16_t> patch_;  // row by row
};

}  // namespace scrapetrace::page
