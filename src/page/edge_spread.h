#pragma once
// Measures the blur of a scan at the edges that registration found.

#include <vector>

#include "page/patch_edges.h"

namespace scrapetrace::page {

// Standard deviation, in pixels, of the horizontal point spread, sampling aperture included. A Gaussian edge
// Phi((u - u0) / sigma) is fitted by least squares to all samples within 8 pixels of x edges, with separate
// u0 for rising and falling edges (after the slanted edge of ISO 12233, but without a slant); within 26
// pixels for wider blurs. 0 when no edge is a strong step; dots of a coarse screen are none.
double measure_blur_px(const PageRaster& raster, const RasterFromSheet& map,
                       const std::vector<EdgePoint>& x_edges);

// The same for each of `patches` patches, in the channel where its edges were measured: chroma subsampling
// blurs coloured patches more than black ones. 0 where it cannot be measured. `blur_px` is that of the whole
// scan.
std::vector<double> measure_patch_blurs_px(const PageRaster& raster, const RasterFromSheet& map,
                                           const std::vector<EdgePoint>& x_edges, std::size_t patches,
                                           double blur_px);

}  // namespace scrapetrace::page
