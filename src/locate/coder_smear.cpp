#include "locate/coder_smear.h"

#include <cmath>

#include "quality/pixel_issues.h"

namespace scrapetrace::locate_detail {

double coder_smear_mm(const PageRaster& raster, const page::Placement& placement) {
  return quality::coder_smear_px(raster.pixels) / std::hypot(placement.map.ux, placement.map.vx);
}

}  // namespace scrapetrace::locate_detail
