#include "scan/row_feed.h"

#include <algorithm>
#include <array>

#include "scan/bounded_queue.h"

namespace scrapetrace::scan {

bool feed_rows(VipsImage* image, int rows_per_strip, const RowSink& sink) {
  const int width = vips_image_get_width(image);
  const int height = vips_image_get_height(image);
  std::array<Region, kQueueSlots> regions;
  for (Region& region : regions) region.reset(vips_region_new(image));
  const auto fill = [&](std::size_t slot, int strip) -> Rows {
    const int top = strip * rows_per_strip;
    const VipsRect rows{0, top, width, std::min(rows_per_strip, height - top)};
    VipsRegion* region = regions[slot].get();
    if (vips_region_prepare(region, &rows) != 0) return {};
    return {VIPS_REGION_ADDR(region, 0, top), static_cast<std::ptrdiff_t>(VIPS_REGION_LSKIP(region)),
            rows.height};
  };
  return produce_and_consume((height + rows_per_strip - 1) / rows_per_strip, fill, sink);
}

}  // namespace scrapetrace::scan
