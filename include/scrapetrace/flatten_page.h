#pragma once
// A photo of a sheet made flat: resampled once from the decoded picture, then taken like a scan.

#include <array>
#include <string>

#include "scrapetrace/page.h"
#include "scrapetrace/photo.h"
#include "scrapetrace/read_limits.h"
#include "scrapetrace/result.h"

namespace scrapetrace::scan {

struct FlattenOptions {
  std::array<double, 2> sheet_mm{};
  double border_mm = 3;    // taken around the sheet, as far as the photo shows it
  double block_mm = 0.68;  // height of a block of averaged rows, about
  ReadLimits limits{};
};

// The sheet upright, lead edge at the top, at the photo's largest scale on it, so that nothing is lost; cubic
// interpolation (Keys 1981) in linear light. What the photo cuts off is left out, as a rectangle. The page
// has its overview, its resolution as tags, and the map's spread. Holds the decoded photo in memory.
// Problems: as read_page(), and photos of more than 120 million pixels.
Result<PageRaster> flatten_page(const std::string& name, const PhotoMap& map, const FlattenOptions& options);

}  // namespace scrapetrace::scan
