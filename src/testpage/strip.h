#pragma once
// Full-size paper rulers of a machine, for use without a scanner: one for a print, one for the carriages.

#include <string>
#include <vector>

#include "scrapetrace/layout.h"
#include "scrapetrace/layout_description.h"
#include "testpage/drawing.h"

namespace scrapetrace::testpage {

struct StripOptions {
  double sheet_width_mm = 0;          // of the prints
  std::vector<std::string> cautions;  // printed on every sheet
};

// Landscape A4 sheets. Long rulers continue over several sheets, to be cut and joined at lines with the same
// letter. Each sheet has a 100 mm bar to check the printer's scaling.
std::vector<Drawing> draw_strips(const Layout& layout, const LayoutDescription& machine,
                                 const StripOptions& options);

}  // namespace scrapetrace::testpage
