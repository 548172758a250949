#pragma once
// A chart's patches as printed and as seen, computed once.

#include <array>
#include <vector>

#include "page/expected_colour.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::page {

// Where a patch's edges are really printed: columns whose centre lies in the patch and that a head owns.
// Sheet mm, [low, high]; low > high when no column prints.
std::array<double, 2> printed_x_range(const Layout& layout, const Patch& patch);

struct PrintedPatch {
  int channel = 0;               // of the largest step to paper: its darkest
  std::array<double, 2> x_mm{};  // printed_x_range; also empty for a patch without inks
  [[nodiscard]] bool empty() const { return x_mm[0] > x_mm[1]; }
};

struct PrintedChart {
  PrintedChart(const Layout& layout, const Chart& chart, bool grey);
  ChartImage image;
  std::vector<PrintedPatch> patches;  // of the chart
};

}  // namespace scrapetrace::page
