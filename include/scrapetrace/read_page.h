#pragma once
// A page of an image file into a PageRaster: one sequential pass, never the whole page in memory.

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "scrapetrace/page.h"
#include "scrapetrace/read_limits.h"
#include "scrapetrace/result.h"

namespace scrapetrace::scan {

struct ReadOptions {
  std::optional<std::array<double, 2>> sheet_mm;  // width and length of the sheet, when known
  double drum_width_mm = 0;                       // no sheet is wider; 0: unknown
  double dpi = 0;                                 // overrides the file's tags; 0: use them
  double block_mm = 0.68;                         // height of a block of averaged rows, about
  bool overview = false;                          // make PageRaster::overview
  std::optional<ImageSide> lead_edge;             // where the sheet's lead edge lies in the image, when known
  int threads = 0;  // that decode stretches of a page; 0: as many as the processor runs at once
  ReadLimits limits;
};

// Names of all pages of a file, to be read one by one: the name itself when there is one page or when it
// names a page already ("scan.tif[2]": the second). Smaller copies of a page (previews) in a TIFF are left
// out. Problems: missing files, formats the tool does not take, more pages than `limits` allow.
Result<std::vector<std::string>> pages_of(const std::string& name, const ReadLimits& limits = {});

// `name` is a file, or one of its pages as pages_of() names them. Reads with rows and columns exchanged when
// the image lies across: with the lead edge at a side, or wide where the known sheet is long, or wider than
// the drum. Follows an orientation tag. Colours go through the embedded profile to sRGB, and from there to
// linear light. Problems name the file or page: missing, unreadable, damaged or truncated files, and formats
// the tool does not take. (Some formats keep a whole page in memory whoever reads them: progressive JPEG,
// interlaced PNG, WebP, HEIC, AVIF, and PDF pages that have to be drawn.)
Result<PageRaster> read_page(const std::string& name, const ReadOptions& options);

}  // namespace scrapetrace::scan
