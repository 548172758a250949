#pragma once
// How sharp the scan is, from the edges that registration found.

#include <vector>

#include "page/patch_edges.h"

namespace scrapetrace::page {

// Standard deviation, in pixels, of the point spread across, sampling aperture included: a Gaussian edge
// Phi((u - u0) / sigma) fitted by least squares to all samples near the x edges, with a u0 of its own for
// rising and for falling edges (the slanted-edge idea of ISO 12233, but no slant is needed), within 8 pixels
// of them; within 26 for blurs that reach beyond. 0 when no edge is strong enough, or none is a step (the
// dots of a coarse screen are none).
double measure_blur_px(const PageRaster& raster, const RasterFromSheet& map,
                       const std::vector<EdgePoint>& x_edges);

// The same for each of `patches` patches alone, in the channel its edges were measured in: a coder that thins
// out colour (chroma subsampling) blurs a coloured patch more than a black one. 0 where it cannot be
// measured. `blur_px` is that of the whole scan.
std::vector<double> measure_patch_blurs_px(const PageRaster& raster, const RasterFromSheet& map,
                                           const std::vector<EdgePoint>& x_edges, std::size_t patches,
                                           double blur_px);

}  // namespace scrapetrace::page
