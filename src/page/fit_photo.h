#pragma once
// A photo's map from its tags: homography and radial distortion together, by least squares.

#include <optional>
#include <vector>

#include "page/chart_tags.h"
#include "scrapetrace/photo.h"

namespace scrapetrace::page {

struct PhotoFit {
  PhotoMap map;
  double residual_px = 0;  // root mean square over both coordinates of all corners
};

// Gauss and Newton's method from a homography on; k1 and k2 are held near 0 with standard deviations of 0.15
// and 0.05, what phones leave after their own correction and more. `width_px` and `height_px` are those of
// the image as stored. The map's sigma_mm is the spread of a fitted place (parameters' covariance through the
// map, check by simulation in the tests). Nothing for fewer than four tags.
std::optional<PhotoFit> fit_photo(const std::vector<SeenTag>& tags, double width_px, double height_px);

}  // namespace scrapetrace::page
