#pragma once
// Places a sheet by its tags alone, which also give its orientation.

#include <optional>

#include "page/chart_tags.h"
#include "page/placement.h"

namespace scrapetrace::page {

struct TagPlacement {
  SheetFromRaster
      sheet_from_raster;   // with the covariance of a place: target registration error, not the residual
  double residual_mm = 0;  // root mean square of tag centres in x, over the degrees of freedom
  int tags = 0;
};

// Affine least squares of at least three tag centres. The variance of a place is s^2 (1/N + r' S^-1 r), with
// r its distance from the tags' centroid and S the scatter of the N tags (target registration error of an
// affine fit; for a rigid one see Fitzpatrick et al., IEEE TMI 17(5), 1998); s is the residual, at least 0.03
// mm. Nothing for fewer tags, tags on a line, or residuals above 1.5 mm.
std::optional<TagPlacement> place_by_tags(const PageRaster& raster, const DetectedTags& seen);

}  // namespace scrapetrace::page
