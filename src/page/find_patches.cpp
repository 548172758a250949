#include "page/find_patches.h"

namespace scrapetrace::page {

std::variant<Placement, std::string> place_without_chart(const PageRaster& raster, const Layout& layout,
                                                         const CoarseMap& coarse, double dpi,
                                                         const std::string& dpi_source, double angle_deg) {
  (void)raster; (void)layout; (void)coarse; (void)dpi; (void)dpi_source; (void)angle_deg;
  return std::string("no");
}

}  // namespace scrapetrace::page
