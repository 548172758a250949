#pragma once
// Fits a photo's map to its tags: homography and radial distortion by least squares.

#include <optional>
#include <vector>

#include "page/chart_tags.h"
#include "scrapetrace/photo.h"

namespace scrapetrace::page {

struct PhotoFit {
  PhotoMap map;
  double residual_px = 0;  // root mean square per coordinate over all corners
};

// Gauss-Newton from a homography. k1 and k2 have priors of 0 with standard deviations 0.15 and 0.05, more
// than phones leave after their own correction. `width_px` and `height_px` are the stored image's. sigma_mm
// is the standard deviation of a mapped place, from the parameters' covariance (checked by simulation in the
// tests). Nothing for fewer than four tags.
std::optional<PhotoFit> fit_photo(const std::vector<DetectedTag>& tags, double width_px, double height_px);

}  // namespace scrapetrace::page
