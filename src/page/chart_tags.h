#pragma once
// A chart's tags as a page shows them.

#include <array>
#include <cstddef>
#include <vector>

#include "page/homography.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/page.h"

namespace scrapetrace::page {

// One tag's four corners, clockwise from the top left: from the sheet (mm, where the press really lays them)
// to the image as stored (px).
struct SeenTag {
  std::size_t mark = 0;  // index into Chart::marks
  std::array<PointPair, 4> stored_from_sheet;
};

struct SeenTags {
  std::vector<SeenTag> tags;
  std::vector<int> strangers;  // ids seen that the chart has not
  bool mirrored = false;       // the image as stored is a mirror image of the sheet
};

// From the page's overview, also when that shows a mirror image. Empty without an overview, or without marks.
SeenTags see_tags(const Layout& layout, const Chart& chart, const PageRaster& page);

// The raster's place of a place of the stored image.
Eigen::Vector2d raster_from_stored(const PageRaster& page, const Eigen::Vector2d& stored_px);

// Leaves out tags that do not go with the others under any homography: a misread number, a tag of another
// sheet in the picture. The worst goes while it is off by more than `most_px` and by five times the median.
std::vector<SeenTag> without_strays(std::vector<SeenTag> tags, double most_px);

}  // namespace scrapetrace::page
