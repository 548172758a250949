#pragma once
// Rectifies a photo of a sheet: resampled once, then treated like a scan.

#include <array>
#include <string>

#include "scan/scan_file.h"
#include "scrapetrace/page.h"
#include "scrapetrace/photo.h"
#include "scrapetrace/result.h"

namespace scrapetrace::scan {

struct FlattenOptions {
  std::array<double, 2> sheet_mm{};
  double border_mm = 3;    // around the sheet, as far as the photo shows it
  double block_mm = 0.68;  // approximate height of a block of averaged rows
  ReadLimits limits{};
};

// The sheet upright, lead edge at the top, at the photo's largest scale, by cubic interpolation (Keys 1981)
// in linear light. What the photo does not show is cropped. The page has its overview, its resolution as
// tags, and the spread of the map. Holds the decoded photo in memory. Problems: as read_page(), and photos
// above 120 million pixels.
Result<PageRaster> flatten_page(const std::string& name, const PhotoMap& map, const FlattenOptions& options);
// Page `index`, from 0, of an opened file.
Result<PageRaster> flatten_page(const ScanFile& file, int index, const PhotoMap& map,
                                const FlattenOptions& options);

}  // namespace scrapetrace::scan
