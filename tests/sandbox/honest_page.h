#pragma once
// A page that a worker may hand back, made without a worker.

#include "sandbox/request.h"
#include "scan/page_sums.h"
#include "scan/raster_plan.h"

namespace scrapetrace::sandbox {

// What is asked for below: a page of a scan, with its overview.
inline Request honest_request() {
  Request request;
  request.read.overview = true;
  request.read.sheet_mm = {{20, 30}};
  return request;
}

// Of a picture of 200 x 300 px, every row alike, through the sums that scans go through.
inline PageRaster honest_page(const Request& request) {
  PageRaster page;
  page.width_px = 200;
  page.height_px = 300;
  page.tag_dpi_across = page.tag_dpi_along = 300;
  page.rows_per_block = scan::rows_per_block(page.height_px, page.tag_dpi_along, request.read);
  scan::SumsOptions options;
  options.overview = request.read.overview;
  std::vector<std::uint8_t> row(600);
  for (std::size_t k = 0; k < row.size(); ++k) row[k] = static_cast<std::uint8_t>(100 + k % 7);
  scan::PageSums sums(page, {page.width_px, page.height_px, 3, 1}, options, {});
  for (int v = 0; v < page.height_px; ++v) sums.add({row.data(), 0, 1});
  sums.finish();
  page.pixels = sums.pixels();
  return page;
}

}  // namespace scrapetrace::sandbox
