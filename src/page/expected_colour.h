#pragma once
// What a chart should look like: linear colours of its patches over paper.

#include <cstdint>
#include <vector>

#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::page {

// Density over paper of a solid of these inks, Beer-Lambert (densities add); for a grey scan all three
// channels carry the density of the Rec. 709 luminance (weights 0.2126, 0.7152, 0.0722; IEC 61966-2-1).
Rgb solid_density(const Layout& layout, const std::vector<std::string>& inks, bool grey);

// Linear signal of a patch over that of paper, coverage by area (Murray-Davies).
Rgb patch_linear(const Layout& layout, const Patch& patch, bool grey);

// Index of the patch at each point of a grid over the sheet, -1 for bare paper.
class ChartImage {
 public:
  explicit ChartImage(const Chart& chart, double cell_mm = 0.5);
  // -1 on bare paper, -2 off the sheet.
  [[nodiscard]] int patch_at(double x_mm, double y_mm) const;

 private:
  double cell_mm_;
  int width_;
  int height_;
  std::vector<std::int16_t> patch_;
};

}  // namespace scrapetrace::page
