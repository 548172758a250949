#pragma once
// Where a sheet lies in a raster, from its tags alone: no guess about the way round.

#include <optional>

#include "page/chart_tags.h"
#include "page/placement.h"

namespace scrapetrace::page {

struct TagPlacement {
  SheetFromRaster sheet_from_raster;  // with the covariance of a place: TRE, not the residual
  double residual_mm = 0;             // of tags' middles in x, root mean square over the degrees of freedom
  int tags = 0;
};

// Affine least squares of the middles of at least three tags. A place's spread is s^2 (1/N + r' S^-1 r), with
// r its distance from the tags' middle and S the scatter of the N tags (target registration error of an
// affine fit; for a rigid one see Fitzpatrick et al., IEEE TMI 17(5), 1998); s is the residual, and never
// taken below 0.03 mm. Nothing for fewer tags, tags in a line, or where they miss each other by more than 1.5
// mm.
std::optional<TagPlacement> place_by_tags(const PageRaster& raster, const SeenTags& seen);

}  // namespace scrapetrace::page
