#include "base/parallel.h"
#include "scan/accumulate_rows.h"
#include "scan/flatten_picture.h"
#include "scan/plain_pixels.h"
#include "scan/raster_frame.h"
#include "scrapetrace/pixels.h"

namespace scrapetrace::scan {

Result<PageRaster> raster_from_pixels(const PixelView& view, const ReadOptions& options) {
  if (auto problem = wrong_with(view)) return *std::move(problem);
  PlainPixels pixels(view);
  PageRaster page = sized_raster({view.orientation, view.dpi, view.dpi, {}}, pixels.size(), options);
  SumsOptions wanted;
  wanted.order = reading_order(view.orientation, page.transposed);
  wanted.overview = options.overview;
  PageSums sums(page, pixels.size(), wanted, {});
  accumulate_rows(pixels, view.height_px, static_cast<int>(thread_count(options.threads)), sums);
  take_over(sums, view.lossy ? kUnknownCoder : 0, page);
  return page;
}

Result<PageRaster> flatten_pixels(const PixelView& view, const PhotoMap& map, const FlattenOptions& options) {
  if (auto problem = wrong_with(view)) return *std::move(problem);
  const PlainPixels pixels(view);
  if (auto what = too_large_to_flatten(pixels.size()); !what.empty())
    return Problem{view.name, 0, 0, std::move(what)};
  const auto copied = pixels.copied();
  auto page =
      flatten_picture({pixels.size(), copied.empty() ? pixels.samples() : copied.data()}, map, options);
  if (!page) return Problem{view.name, 0, 0, kShowsTooLittle};
  return *std::move(page);
}

}  // namespace scrapetrace::scan
