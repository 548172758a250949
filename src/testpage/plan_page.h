#pragma once
// Arranges a test page: ink bands across the print, rows of tags and text between them.

#include <array>
#include <vector>

#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/layout_description.h"
#include "scrapetrace/result.h"

namespace scrapetrace::testpage {

struct PageOptions {
  std::array<double, 2> sheet_mm{};  // width across the drum, length along it
  double margin_mm = 5;              // kept free of print at all four edges, 0 to 30
  double tag_mm = 8;                 // 4 to 20
};

// As high as a tag with its white border. Tags at both ends at least; text between them.
struct TagRow {
  double y_mm = 0;           // its middle
  std::vector<double> x_mm;  // middles of its tags
};

struct PagePlan {
  Chart chart;
  std::array<double, 2> print_x_mm{};  // where the bands begin and end
  std::vector<TagRow> rows;            // at the lead edge, at the ruler, between bands, at the trail edge
};

// Single inks, then overprints of two coloured inks, then of three, as many as fit with at least 9 mm each.
// The last band leaves space at the right for a dark block that marks the page's orientation for people.
// Problems: sheet, margin or tags leave too little space.
Result<PagePlan> plan_page(const Layout& layout, const LayoutDescription& machine,
                           const PageOptions& options);

// Height of a tag's row, white border included.
double row_height_mm(double tag_mm);

}  // namespace scrapetrace::testpage
