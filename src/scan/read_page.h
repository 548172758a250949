#pragma once
// Reads a page of an image file into a PageRaster in one sequential pass, never holding the whole page.

#include <array>
#include <optional>
#include <string>

#include "scrapetrace/page.h"
#include "scrapetrace/read_limits.h"
#include "scrapetrace/result.h"

namespace scrapetrace::scan {

class ScanFile;

struct ReadOptions {
  std::optional<std::array<double, 2>> sheet_mm;  // width and length of the sheet, when known
  double drum_width_mm = 0;                       // upper limit of the sheet's width; 0: unknown
  double dpi = 0;                                 // overrides the file's tags; 0: use them
  double block_mm = 0.68;                         // approximate height of a block of averaged rows
  bool overview = false;                          // make PageRaster::overview
  std::optional<ImageSide> lead_edge;             // where the sheet's lead edge lies in the image, when known
  int threads = 0;                                // decoding threads; 0: one per hardware thread
  ReadLimits limits;
};

// `name` is a file or one of its pages (page_name.h). Follows the orientation tag. Transposes an image that
// lies across: lead edge at a side, wide where the known sheet is long, or wider than the drum. Colours go
// through the embedded profile to sRGB, then to linear light. Problems name the file or page: missing,
// unreadable, damaged, truncated, unsupported. (Progressive JPEG, interlaced PNG, WebP, HEIC, AVIF and
// rendered PDF pages do need the whole page in memory.)
Result<PageRaster> read_page(const std::string& name, const ReadOptions& options);

// Page `index`, from 0, of an opened file; problems name the file.
Result<PageRaster> read_page(const ScanFile& file, int index, const ReadOptions& options);

}  // namespace scrapetrace::scan
