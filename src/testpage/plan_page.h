#pragma once
// What stands where on a test page: bands of ink from one end of the print to the other, rows of tags and
// words between them.

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

// A row as high as a tag with its white border. Tags stand at least at both its ends; words lie between them.
struct TagRow {
  double y_mm = 0;           // its middle
  std::vector<double> x_mm;  // middles of its tags
};

struct PagePlan {
  Chart chart;
  std::array<double, 2> print_x_mm{};  // where the bands begin and end
  std::vector<TagRow> rows;            // the lead edge's, the ruler's, those between bands, the trail edge's
};

// Every ink alone, then overprints of two coloured inks, then of three, as many as find room: each band is at
// least 9 mm long. The last band leaves room for a dark block at the sheet's right, the mark that the eye
// knows the page's way round by. Problems: sheet, margin or tags that leave too little room.
Result<PagePlan> plan_page(const Layout& layout, const LayoutDescription& machine,
                           const PageOptions& options);

// Height of a tag's row, white border included.
double row_height_mm(double tag_mm);

}  // namespace scrapetrace::testpage
