#include "scan/raster_frame.h"

#include <algorithm>
#include <utility>

namespace scrapetrace::scan {

// First the orientation tag (Exif numbers 5 to 8 exchange the axes; 2, 3, 6 and 7 show the image from right
// to left, 3, 4, 7 and 8 from bottom to top), then the exchange of rows and columns of an image that lies
// across.
ReadingOrder reading_order(int orientation, bool transposed) {
  const bool from_right = orientation == 2 || orientation == 3 || orientation == 6 || orientation == 7;
  const bool from_bottom = orientation == 3 || orientation == 4 || orientation == 7 || orientation == 8;
  return {(orientation > 4) != transposed, transposed ? from_bottom : from_right,
          transposed ? from_right : from_bottom};
}

PageRaster sized_raster(const Statements& stated, const StoredSize& size, const ReadOptions& options) {
  PageRaster page;
  page.width_px = size.width_px;
  page.height_px = size.height_px;
  page.tag_dpi_across = stated.dpi_across;
  page.tag_dpi_along = stated.dpi_along;
  page.tag_conflict = stated.conflict;
  const auto exchange_axes = [&] {
    std::swap(page.width_px, page.height_px);
    std::swap(page.tag_dpi_across, page.tag_dpi_along);
  };
  if (stated.orientation > 4) exchange_axes();
  page.transposed = lies_across(page.width_px, page.height_px,
                                options.dpi > 0 ? options.dpi : page.tag_dpi_across, options);
  if (page.transposed) exchange_axes();
  page.rows_per_block = rows_per_block(page.height_px, page.tag_dpi_along, options);
  const ReadingOrder order = reading_order(stated.orientation, page.transposed);
  page.overview.transposed = order.transposed;
  page.overview.flip_u = order.flip_u;
  page.overview.flip_v = order.flip_v;
  return page;
}

std::string wrong_with(const StoredSize& size) {
  if (std::max(size.width_px, size.height_px) > kLargestSide_px) {
    return "is " + std::to_string(size.width_px) + " x " + std::to_string(size.height_px) + " px; at most " +
           std::to_string(kLargestSide_px) + " px a side are taken: scan at a lower resolution";
  }
  if (size.bands == 1 || size.bands == 3) return {};
  return "has " + std::to_string(size.bands) + " colour channels; grey or RGB is needed";
}

void take_over(const PageSums& sums, double quantisation_sigma, PageRaster& page) {
  page.pixels = sums.pixels();
  page.pixels.quantisation_sigma = quantisation_sigma;
  if (!sums.colours().few()) return;
  page.pixels.quantisation_sigma = kPaletteRounding;
  page.notes.push_back("the picture has " + std::to_string(sums.colours().count()) +
                       " colours only, as a palette or a black-and-white setting leaves them");
}

}  // namespace scrapetrace::scan
