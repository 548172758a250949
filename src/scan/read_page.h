#pragma once
// An image file into a PageRaster: one sequential pass, never the whole page in memory.

#include <array>
#include <optional>
#include <string>

#include "scrapetrace/page.h"
#include "scrapetrace/result.h"

namespace scrapetrace::scan {

struct ReadOptions {
  std::optional<std::array<double, 2>> sheet_mm;  // width and length of the sheet, when known
  double drum_width_mm = 0;                       // no sheet is wider; 0: unknown
  double dpi = 0;                                 // overrides the file's tags; 0: use them
  double block_mm = 0.68;                         // height of a block of averaged rows, about
};

// Reads with rows and columns exchanged when the image lies across: wide where the known sheet is long, or
// wider than the drum. Colours go through the embedded profile to sRGB, and from there to linear light;
// without a profile they are taken as sRGB. Alpha lies on white. Problems: missing, unreadable, damaged or
// truncated files, and formats the tool does not take.
Result<PageRaster> read_page(const std::string& path, const ReadOptions& options);

// A resolution tag that can be true: 72 dpi and 25.4 dpi stand for "no tag" in what loaders report.
double believable_dpi(double pixels_per_mm);

}  // namespace scrapetrace::scan
