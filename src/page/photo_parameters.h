#pragma once
// Parameters of a photo's map: eight of a homography, k1 and k2, scaled to order one.

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

// Lower bound of any mark's or edge's standard deviation.
inline constexpr double kLeastPhotoSigma_px = 0.03;

// Scales that make all parameters of order one.
struct PhotoUnits {
  Eigen::Vector2d sheet_middle = Eigen::Vector2d::Zero();
  double sheet_scale = 1;  // per mm
  Eigen::Vector2d picture_middle = Eigen::Vector2d::Zero();
  double radius_px = 1;
};
// For these sheet points and a stored picture of `width_px` x `height_px`.
PhotoUnits photo_units(const std::vector<Eigen::Vector2d>& sheet_mm, double width_px, double height_px);

// Width and height of the stored picture.
std::array<double, 2> stored_size_px(const PageRaster& page);
void set_homography(const Eigen::Matrix3d& ideal_from_sheet, PhotoMap& map);

// Residual of point pairs (sheet mm, picture px) after the best affine map.
struct AffineMiss {
  double rms_px = 0;  // per coordinate
  double px_per_mm = 1;
  // Perspective and lens distortion exceed this; scanners stay below.
  [[nodiscard]] bool beyond_scanners() const { return rms_px >= 0.3 * px_per_mm; }
};
// Nothing for fewer than three pairs or for points on a line.
std::optional<AffineMiss> affine_miss(const std::vector<PointPair>& pairs);

PhotoMap map_of(const PhotoParameters& p, const PhotoUnits& units);
// The parameters of a map, near its own.
PhotoParameters parameters_of(const PhotoMap& map, const PhotoUnits& units);
Eigen::Vector2d photo_of(const PhotoParameters& p, const PhotoUnits& units, const Eigen::Vector2d& sheet_mm);
// Derivatives of a picture point by each parameter, by central differences.
PhotoSlopes photo_slopes(const PhotoParameters& p, const PhotoUnits& units, const Eigen::Vector2d& sheet_mm);

// Prior: k1 and k2 near 0 with standard deviations 0.15 and 0.05, more than phones leave after their own
// correction.
void add_lens_prior(const PhotoParameters& p, PhotoNormal& normal, PhotoParameters& right);

// The largest standard deviation of sheet x between two corners, mm: the picture's over the local scale.
double spread_mm(const Eigen::Vector2d& low_mm, const Eigen::Vector2d& high_mm, const PhotoParameters& p,
                 const PhotoUnits& units, const PhotoNormal& covariance);

}  // namespace scrapetrace::page
