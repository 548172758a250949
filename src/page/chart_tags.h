#pragma once
// Detects a chart's tags on a page.

#include <array>
#include <cstddef>
#include <vector>

#include "page/homography.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/page.h"

namespace scrapetrace::page {

// The four corners of a tag, clockwise from the top left: sheet (mm, as really printed) to stored image (px).
struct DetectedTag {
  std::size_t mark = 0;  // index into Chart::marks
  std::array<PointPair, 4> stored_from_sheet;
};

struct DetectedTags {
  std::vector<DetectedTag> tags;
  std::vector<int> strangers;  // detected ids that the chart lacks
  bool mirrored = false;       // the stored image is a mirror image of the sheet
};

// From the page's overview, also mirrored. Empty without an overview or without marks.
DetectedTags detect_chart_tags(const Layout& layout, const Chart& chart, const PageRaster& page);

// The raster position of a position in the stored image.
Eigen::Vector2d raster_from_stored(const PageRaster& page, const Eigen::Vector2d& stored_px);

// Removes tags that fit no common homography: misread ids, tags of another sheet. Drops the worst while its
// residual exceeds `most_px` and five times the median.
std::vector<DetectedTag> without_outliers(std::vector<DetectedTag> tags, double most_px);

}  // namespace scrapetrace::page
