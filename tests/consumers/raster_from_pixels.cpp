// A picture in memory becomes a raster that holds its light.
#include <cmath>
#include <vector>

#include "bench.h"

int main() {
  const std::vector<std::uint8_t> grey(300 * 200, 188);  // sRGB 188 is half of the light (IEC 61966-2-1)
  scrapetrace::scan::PixelView view;
  view.samples = grey.data();
  view.width_px = 300;
  view.height_px = 200;
  view.channels = 1;
  view.dpi = 300;
  const auto page = value(scrapetrace::scan::raster_from_pixels(view, {}));
  check(page.width_px == 300 && page.height_px == 200 && page.grey, "the raster is as large, and grey");
  check(std::abs(page.row(0, 0)[150] / 65535.0 - 0.5) < 0.005, "code 188 is half of the light");
  view.samples = nullptr;
  check(!scrapetrace::scan::raster_from_pixels(view, {}).ok(), "a view of nothing is refused");
}
