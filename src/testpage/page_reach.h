#pragma once
// Which places on the machine a page could show a scrape from at all.

#include <vector>

#include "scrapetrace/layout.h"

namespace scrapetrace::testpage {

struct ZoneReach {
  std::size_t head = 0;
  std::size_t zone = 0;  // index into Layout::zones
  double fraction = 0;   // of the zone from which residue would touch ink between the page's ends
};

// Every head with every zone. Residue is taken half a millimetre wide, on its carriage through all passes; it
// shows when some column that it touches after the ink was laid, on whichever side of its jets, lies between
// the ends of the bands, sheet mm.
std::vector<ZoneReach> reach_of_page(const Layout& layout, const std::array<double, 2>& print_x_mm);

}  // namespace scrapetrace::testpage
