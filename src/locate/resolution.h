#pragma once
// What the scan's resolution may be, before the print itself decides.

#include <string>
#include <vector>

#include "scrapetrace/locate.h"

namespace scrapetrace::locate_detail {

struct Resolution {
  double dpi_across = 0;
  double dpi_along = 0;
  std::string source;  // "tag", "option", "chart": as Registration::dpi_source
  bool exact = true;   // false: a guess, to be searched around
};

// What the user says, else what the tags say; nothing when they say nothing or contradict each other.
std::vector<Resolution> stated_resolutions(const PageRaster& raster, const LocateOptions& options);

// What a chart's sheet of known size suggests: that it fills the image, or one of the resolutions scanners
// offer at which it would lie inside the image or reach a little beyond it.
std::vector<Resolution> resolutions_by_sheet(const PageRaster& raster, const Chart& chart);

// One sentence: why the resolution is unknown, and what to do.
std::string resolution_unknown(const PageRaster& raster);

}  // namespace scrapetrace::locate_detail
