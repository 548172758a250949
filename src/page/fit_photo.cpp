#include "page/fit_photo.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace scrapetrace::page {

namespace {

constexpr Eigen::Index kParameters = 10;  // eight of the homography, k1, k2
constexpr std::array kPriorSigma = {0.15, 0.05};
constexpr double kLeastSigma_px = 0.03;  // no corner is surer than this, however well a few agree
constexpr int kPhotoRounds = 20;
constexpr int kSpread = 8;  // places per direction at which the spread is taken

using Parameters = Eigen::Matrix<double, kParameters, 1>;
using Normal = Eigen::Matrix<double, kParameters, kParameters>;

// Sheet and picture in units of order one, so that no parameter outweighs another.
struct Units {
  Eigen::Vector2d sheet_middle = Eigen::Vector2d::Zero();
  double sheet_scale = 1;  // per mm
  Eigen::Vector2d picture_middle = Eigen::Vector2d::Zero();
  double radius_px = 1;
};

PhotoMap map_of(const Parameters& p, const Units& units) {
  Eigen::Matrix3d inner;
  inner << p[0], p[1], p[2], p[3], p[4], p[5], p[6], p[7], 1;
  Eigen::Matrix3d from_sheet;
  const double s = units.sheet_scale;
  from_sheet << s, 0, -s * units.sheet_middle[0], 0, s, -s * units.sheet_middle[1], 0, 0, 1;
  Eigen::Matrix3d to_picture;
  to_picture << units.radius_px, 0, units.picture_middle[0], 0, units.radius_px, units.picture_middle[1], 0,
      0, 1;
  const Eigen::Matrix3d all = to_picture * inner * from_sheet;
  PhotoMap map;
  for (std::size_t k = 0; k < 9; ++k)
    map.ideal_from_sheet[k] = all(static_cast<Eigen::Index>(k / 3), static_cast<Eigen::Index>(k % 3));
  map.middle_px = {units.picture_middle[0], units.picture_middle[1]};
  map.radius_px = units.radius_px;
  map.k1 = p[8];
  map.k2 = p[9];
  return map;
}

Eigen::Vector2d photo_of(const Parameters& p, const Units& units, const Eigen::Vector2d& sheet) {
  const auto at = map_of(p, units).photo_px(sheet[0], sheet[1]);
  return {at[0], at[1]};
}

// How a place of the picture moves with each parameter, by central differences.
Eigen::Matrix<double, 2, kParameters> slopes(const Parameters& p, const Units& units,
                                             const Eigen::Vector2d& sheet) {
  constexpr double kStep = 1e-5;
  Eigen::Matrix<double, 2, kParameters> out;
  for (Eigen::Index k = 0; k < kParameters; ++k) {
    Parameters more = p;
    Parameters less = p;
    more[k] += kStep;
    less[k] -= kStep;
    out.col(k) = (photo_of(more, units, sheet) - photo_of(less, units, sheet)) / (2 * kStep);
  }
  return out;
}

Units units_of(const std::vector<PointPair>& pairs, double width_px, double height_px) {
  Units units;
  for (const auto& pair : pairs) units.sheet_middle += pair.from / static_cast<double>(pairs.size());
  double farthest = 0;
  for (const auto& pair : pairs) farthest = std::max(farthest, (pair.from - units.sheet_middle).norm());
  units.sheet_scale = 1 / farthest;
  units.picture_middle = {width_px / 2, height_px / 2};
  units.radius_px = 0.5 * std::hypot(width_px, height_px);
  return units;
}

std::optional<Parameters> start_of(const std::vector<PointPair>& pairs, const Units& units) {
  std::vector<PointPair> inner;
  for (const auto& pair : pairs)
    inner.push_back({(pair.from - units.sheet_middle) * units.sheet_scale,
                     (pair.to - units.picture_middle) / units.radius_px});
  const auto h = fit_homography(inner);
  if (!h) return std::nullopt;
  Parameters p = Parameters::Zero();
  for (Eigen::Index k = 0; k < 8; ++k) p[k] = (*h)(k / 3, k % 3);
  return p;
}

double residual_px(const std::vector<PointPair>& pairs, const Parameters& p, const Units& units) {
  double sum = 0;
  for (const auto& pair : pairs) sum += (pair.to - photo_of(p, units, pair.from)).squaredNorm();
  return std::sqrt(sum / (2 * static_cast<double>(pairs.size())));
}

// Normal equations in units of a corner's own spread; the right side points to better parameters.
void add_up(const std::vector<PointPair>& pairs, const Parameters& p, const Units& units, double sigma_px,
            Normal& normal, Parameters& right) {
  normal.setZero();
  right.setZero();
  for (const auto& pair : pairs) {
    const auto slope = slopes(p, units, pair.from);
    normal += slope.transpose() * slope / (sigma_px * sigma_px);
    right += slope.transpose() * (pair.to - photo_of(p, units, pair.from)) / (sigma_px * sigma_px);
  }
  for (Eigen::Index k = 0; k < 2; ++k) {
    const double weight = std::pow(kPriorSigma[static_cast<std::size_t>(k)], -2);
    normal(8 + k, 8 + k) += weight;
    right[8 + k] -= weight * p[8 + k];
  }
}

// The worst spread of a sheet place between the outermost tags, mm: the picture's spread over its scale
// there.
double spread_mm(const std::vector<PointPair>& pairs, const Parameters& p, const Units& units,
                 const Normal& covariance) {
  Eigen::Vector2d low = pairs.front().from;
  Eigen::Vector2d high = low;
  for (const auto& pair : pairs) low = low.cwiseMin(pair.from), high = high.cwiseMax(pair.from);
  double worst = 0;
  for (int i = 0; i <= kSpread; ++i) {
    for (int j = 0; j <= kSpread; ++j) {
      const Eigen::Vector2d part(static_cast<double>(i) / kSpread, static_cast<double>(j) / kSpread);
      const Eigen::Vector2d at = low + part.cwiseProduct(high - low);
      const auto slope = slopes(p, units, at);
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

}  // namespace

std::optional<PhotoFit> fit_photo(const std::vector<SeenTag>& tags, double width_px, double height_px) {
  if (tags.size() < 4) return std::nullopt;
  std::vector<PointPair> pairs;
  for (const auto& tag : tags)
    pairs.insert(pairs.end(), tag.stored_from_sheet.begin(), tag.stored_from_sheet.end());
  const Units units = units_of(pairs, width_px, height_px);
  const auto start = start_of(pairs, units);
  if (!start) return std::nullopt;
  Parameters p = *start;
  Normal normal;
  Parameters right;
  for (int round = 0; round < kPhotoRounds; ++round) {
    const double sigma = std::max(kLeastSigma_px, residual_px(pairs, p, units));
    add_up(pairs, p, units, sigma, normal, right);
    const Parameters step = normal.ldlt().solve(right);
    if (!step.allFinite()) return std::nullopt;
    p += step;
    if (step.norm() < 1e-10) break;
  }
  PhotoFit out;
  out.residual_px = residual_px(pairs, p, units);
  add_up(pairs, p, units, std::max(kLeastSigma_px, out.residual_px), normal, right);
  out.map = map_of(p, units);
  out.map.tags = static_cast<int>(tags.size());
  out.map.sigma_mm = spread_mm(pairs, p, units, normal.inverse());
  return out;
}

}  // namespace scrapetrace::page
