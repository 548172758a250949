#pragma once
// The numbers that a photo's map is fitted by: eight of a homography, k1 and k2, in units of order one.

#include <Eigen/Core>
#include <array>
#include <optional>
#include <vector>

#include "page/homography.h"
#include "scrapetrace/photo.h"

namespace scrapetrace::page {

inline constexpr Eigen::Index kPhotoParameters = 10;
using PhotoParameters = Eigen::Matrix<double, kPhotoParameters, 1>;
using PhotoNormal = Eigen::Matrix<double, kPhotoParameters, kPhotoParameters>;
using PhotoSlopes = Eigen::Matrix<double, 2, kPhotoParameters>;

// No mark or edge is surer than this, however well a few agree.
inline constexpr double kLeastPhotoSigma_px = 0.03;

// Sheet and picture in units of order one, so that no parameter outweighs another.
struct PhotoUnits {
  Eigen::Vector2d sheet_middle = Eigen::Vector2d::Zero();
  double sheet_scale = 1;  // per mm
  Eigen::Vector2d picture_middle = Eigen::Vector2d::Zero();
  double radius_px = 1;
};
// For sheet places of the picture of `width_px` x `height_px`, as stored.
PhotoUnits photo_units(const std::vector<Eigen::Vector2d>& sheet_mm, double width_px, double height_px);

// Width and height of a page's picture as it is stored.
std::array<double, 2> stored_size_px(const PageRaster& page);
void set_homography(const Eigen::Matrix3d& ideal_from_sheet, PhotoMap& map);

// What is left of pairs of places, sheet mm to picture px, when the best affine map is taken out.
struct AffineMiss {
  double rms_px = 0;  // per coordinate
  double px_per_mm = 1;
  // Perspective or a lens, that is a camera, bends a page by more; what scanners do stays below.
  [[nodiscard]] bool beyond_scanners() const { return rms_px >= 0.3 * px_per_mm; }
};
// Nothing for fewer than three pairs, or on a line.
std::optional<AffineMiss> affine_miss(const std::vector<PointPair>& pairs);

PhotoMap map_of(const PhotoParameters& p, const PhotoUnits& units);
// The parameters of a map, near its own.
PhotoParameters parameters_of(const PhotoMap& map, const PhotoUnits& units);
Eigen::Vector2d photo_of(const PhotoParameters& p, const PhotoUnits& units, const Eigen::Vector2d& sheet_mm);
// How a place of the picture moves with each parameter, by central differences.
PhotoSlopes photo_slopes(const PhotoParameters& p, const PhotoUnits& units, const Eigen::Vector2d& sheet_mm);

// k1 and k2 are held near 0 with standard deviations of 0.15 and 0.05, what phones leave after their own
// correction and more.
void add_lens_prior(const PhotoParameters& p, PhotoNormal& normal, PhotoParameters& right);

// The worst spread of a sheet x between two corners of the sheet, mm: the picture's spread over its scale
// there.
double spread_mm(const Eigen::Vector2d& low_mm, const Eigen::Vector2d& high_mm, const PhotoParameters& p,
                 const PhotoUnits& units, const PhotoNormal& covariance);

}  // namespace scrapetrace::page
