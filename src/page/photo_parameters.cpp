#include "page/photo_parameters.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace scrapetrace::page {

namespace {

constexpr std::array kPriorSigma = {0.15, 0.05};
constexpr int kSpread = 8;  // places per direction at which the spread is taken

Eigen::Matrix3d from_sheet(const PhotoUnits& units) {
  Eigen::Matrix3d out;
  const double s = units.sheet_scale;
  out << s, 0, -s * units.sheet_middle[0], 0, s, -s * units.sheet_middle[1], 0, 0, 1;
  return out;
}

Eigen::Matrix3d to_picture(const PhotoUnits& units) {
  Eigen::Matrix3d out;
  out << units.radius_px, 0, units.picture_middle[0], 0, units.radius_px, units.picture_middle[1], 0, 0, 1;
  return out;
}

}  // namespace

PhotoUnits photo_units(const std::vector<Eigen::Vector2d>& sheet_mm, double width_px, double height_px) {
  PhotoUnits units;
  for (const auto& at : sheet_mm) units.sheet_middle += at / static_cast<double>(sheet_mm.size());
  double farthest = 0;
  for (const auto& at : sheet_mm) farthest = std::max(farthest, (at - units.sheet_middle).norm());
  units.sheet_scale = 1 / farthest;
  units.picture_middle = {width_px / 2, height_px / 2};
  units.radius_px = 0.5 * std::hypot(width_px, height_px);
  return units;
}

std::array<double, 2> stored_size_px(const PageRaster& page) {
  const double width = page.width_px;
  const double height = page.height_px;
  return page.overview.transposed ? std::array{height, width} : std::array{width, height};
}

void set_homography(const Eigen::Matrix3d& ideal_from_sheet, PhotoMap& map) {
  for (std::size_t k = 0; k < 9; ++k)
    map.ideal_from_sheet[k] =
        ideal_from_sheet(static_cast<Eigen::Index>(k / 3), static_cast<Eigen::Index>(k % 3));
}

std::optional<AffineMiss> affine_miss(const std::vector<PointPair>& pairs) {
  const auto affine = fit_affine(pairs);
  if (!affine) return std::nullopt;
  double sum = 0;
  for (const auto& pair : pairs) sum += (apply_homography(*affine, pair.from) - pair.to).squaredNorm();
  return AffineMiss{std::sqrt(sum / (2 * static_cast<double>(pairs.size()))),
                    std::sqrt(std::abs(affine->topLeftCorner<2, 2>().determinant()))};
}

PhotoMap map_of(const PhotoParameters& p, const PhotoUnits& units) {
  Eigen::Matrix3d inner;
  inner << p[0], p[1], p[2], p[3], p[4], p[5], p[6], p[7], 1;
  const Eigen::Matrix3d all = to_picture(units) * inner * from_sheet(units);
  PhotoMap map;
  set_homography(all, map);
  map.middle_px = {units.picture_middle[0], units.picture_middle[1]};
  map.radius_px = units.radius_px;
  map.k1 = p[8];
  map.k2 = p[9];
  return map;
}

PhotoParameters parameters_of(const PhotoMap& map, const PhotoUnits& units) {
  Eigen::Matrix3d all;
  for (std::size_t k = 0; k < 9; ++k)
    all(static_cast<Eigen::Index>(k / 3), static_cast<Eigen::Index>(k % 3)) = map.ideal_from_sheet[k];
  Eigen::Matrix3d inner = to_picture(units).inverse() * all * from_sheet(units).inverse();
  inner /= inner(2, 2);
  PhotoParameters p;
  for (Eigen::Index k = 0; k < 8; ++k) p[k] = inner(k / 3, k % 3);
  p[8] = map.k1;
  p[9] = map.k2;
  return p;
}

Eigen::Vector2d photo_of(const PhotoParameters& p, const PhotoUnits& units, const Eigen::Vector2d& sheet_mm) {
  const auto at = map_of(p, units).photo_px(sheet_mm[0], sheet_mm[1]);
  return {at[0], at[1]};
}

PhotoSlopes photo_slopes(const PhotoParameters& p, const PhotoUnits& units, const Eigen::Vector2d& sheet_mm) {
  constexpr double kStep = 1e-5;
  PhotoSlopes out;
  for (Eigen::Index k = 0; k < kPhotoParameters; ++k) {
    PhotoParameters more = p;
    PhotoParameters less = p;
    more[k] += kStep;
    less[k] -= kStep;
    out.col(k) = (photo_of(more, units, sheet_mm) - photo_of(less, units, sheet_mm)) / (2 * kStep);
  }
  return out;
}

void add_lens_prior(const PhotoParameters& p, PhotoNormal& normal, PhotoParameters& right) {
  for (Eigen::Index k = 0; k < 2; ++k) {
    const double weight = std::pow(kPriorSigma[static_cast<std::size_t>(k)], -2);
    normal(8 + k, 8 + k) += weight;
    right[8 + k] -= weight * p[8 + k];
  }
}

double spread_mm(const Eigen::Vector2d& low_mm, const Eigen::Vector2d& high_mm, const PhotoParameters& p,
                 const PhotoUnits& units, const PhotoNormal& covariance) {
  double worst = 0;
  for (int i = 0; i <= kSpread; ++i) {
    for (int j = 0; j <= kSpread; ++j) {
      const Eigen::Vector2d part(static_cast<double>(i) / kSpread, static_cast<double>(j) / kSpread);
      const Eigen::Vector2d at = low_mm + part.cwiseProduct(high_mm - low_mm);
      const auto slope = photo_slopes(p, units, at);
      const Eigen::Matrix2d picture = slope * covariance * slope.transpose();
      Eigen::Matrix2d scale;
      scale.col(0) =
          photo_of(p, units, at + Eigen::Vector2d(0.5, 0)) - photo_of(p, units, at - Eigen::Vector2d(0.5, 0));
      scale.col(1) =
          photo_of(p, units, at + Eigen::Vector2d(0, 0.5)) - photo_of(p, units, at - Eigen::Vector2d(0, 0.5));
      const Eigen::Matrix2d inverse = scale.inverse();
      worst = std::max(worst, (inverse * picture * inverse.transpose())(0, 0));
    }
  }
  return std::sqrt(worst);
}

}  // namespace scrapetrace::page
