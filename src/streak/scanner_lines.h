#pragma once
// Lines that the scanner drew: one to a few pixels wide, fixed to a scan column whatever the sheet's skew,
// and seen on bare paper as well as on ink.

#include <vector>

#include "page/placement.h"
#include "scrapetrace/page.h"

namespace scrapetrace::streak {

struct ScannerLineFinding {
  double u_px = 0;  // centre, raster
  double width_px = 1;
  double gain = 1;  // on the linear signal
  double z = 0;
};

struct ScannerLineOptions {
  double widest_px = 4;
  double false_alarm_rate = 0.001;  // expected per page
  double inset_mm = 0.6;            // kept away from printed areas
  int threads = 1;                  // the answer does not depend on them
};

// Averages the bare paper straight down the scan's columns. Empty when the sheet shows no bare paper.
std::vector<ScannerLineFinding> find_scanner_lines(const PageRaster& raster, const page::Placement& placement,
                                                   const ScannerLineOptions& options);

}  // namespace scrapetrace::streak
