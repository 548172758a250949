#pragma once

#include "page/placement.h"

namespace scrapetrace::locate_detail {

// How far on the sheet a lossy coder carries what an edge does; 0 without one, or with one that rounds
// little.
double coder_smear_mm(const PageRaster& raster, const page::Placement& placement);

}  // namespace scrapetrace::locate_detail
