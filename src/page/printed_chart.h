#pragma once
// What a chart's patches look like on a page and where the press puts them, worked out once for several
// looks.

#include <array>
#include <vector>

#include "page/expected_colour.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::page {

// Where the press really puts a patch's edges across: columns print when their centre lies in the patch, and
// only where some head owns them. Sheet mm, [low, high]; empty (low > high) when no column prints.
std::array<double, 2> printed_x_range(const Layout& layout, const Patch& patch);

struct PrintedPatch {
  int channel = 0;               // with the largest step between the patch and paper: its darkest
  std::array<double, 2> x_mm{};  // printed_x_range; empty too for a patch without inks
  [[nodiscard]] bool empty() const { return x_mm[0] > x_mm[1]; }
};

struct PrintedChart {
  PrintedChart(const Layout& layout, const Chart& chart, bool grey);
  ChartImage image;
  std::vector<PrintedPatch> patches;  // of the chart
};

}  // namespace scrapetrace::page
