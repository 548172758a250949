#pragma once
// Which places on the machine a page could show a scrape from.

#include <vector>

#include "scrapetrace/layout.h"

namespace scrapetrace::testpage {

struct ZoneReach {
  std::size_t head = 0;
  std::size_t zone = 0;  // index into Layout::zones
  double fraction = 0;   // of the zone from which residue would touch printed ink
};

// Every head with every zone. Assumes residue half a millimetre wide, moving with its carriage through all
// passes, on either side of the jets. It shows when a column that it touches after printing lies between the
// bands' ends (sheet mm).
std::vector<ZoneReach> reach_of_page(const Layout& layout, const std::array<double, 2>& print_x_mm);

}  // namespace scrapetrace::testpage
