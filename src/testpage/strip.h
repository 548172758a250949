#pragma once
// Paper rulers of a machine at true size, for when no scanner is at hand: one to hold against a print, one to
// hold against the carriages.

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

// Landscape A4 sheets. Where one is too short, rulers go on over several, to be cut and joined at lines that
// bear the same letter; each sheet has a bar of 100 mm to check the printer's scaling with.
std::vector<Drawing> draw_strips(const Layout& layout, const LayoutDescription& machine,
                                 const StripOptions& options);

}  // namespace scrapetrace::testpage
