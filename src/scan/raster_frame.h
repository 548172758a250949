#pragma once
// A raster before and after its rows pass by, wherever the pixels come from: a file or the caller's memory.

#include <string>

#include "scan/page_sums.h"
#include "scan/raster_plan.h"

namespace scrapetrace::scan {

// Of a stored picture, by whoever knows.
struct Statements {
  int orientation = 1;    // Exif's: how it is to be shown, 1 to 8
  double dpi_across = 0;  // of its columns and rows as stored; 0: none, or not believable
  double dpi_along = 0;
  std::string conflict;  // as PageRaster::tag_conflict
};

// From the stored picture to the raster of a page that is read with rows and columns exchanged or not.
ReadingOrder reading_order(int orientation, bool transposed);

// With its sizes, rows_per_block and tags, and how its overview lies.
PageRaster sized_raster(const Statements& stated, const StoredSize& size, const ReadOptions& options);

// What keeps a picture of this size from being read; empty when nothing does.
std::string wrong_with(const StoredSize& size);

// What was counted of the pixels. `quantisation_sigma` as in PixelStatistics.
void take_over(const PageSums& sums, double quantisation_sigma, PageRaster& page);

// Of a coder that loses something, without tables that could be read: as a JPEG of quality 90.
inline constexpr double kUnknownCoder = 4;

}  // namespace scrapetrace::scan
