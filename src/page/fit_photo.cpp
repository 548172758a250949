#include "page/fit_photo.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "page/photo_parameters.h"

namespace scrapetrace::page {

namespace {

constexpr int kPhotoRounds = 20;

std::optional<PhotoParameters> start_of(const std::vector<PointPair>& pairs, const PhotoUnits& units) {
  std::vector<PointPair> inner;
  for (const auto& pair : pairs)
    inner.push_back({(pair.from - units.sheet_middle) * units.sheet_scale,
                     (pair.to - units.picture_middle) / units.radius_px});
  const auto h = fit_homography(inner);
  if (!h) return std::nullopt;
  PhotoParameters p = PhotoParameters::Zero();
  for (Eigen::Index k = 0; k < 8; ++k) p[k] = (*h)(k / 3, k % 3);
  return p;
}

double residual_px(const std::vector<PointPair>& pairs, const PhotoParameters& p, const PhotoUnits& units) {
  double sum = 0;
  for (const auto& pair : pairs) sum += (pair.to - photo_of(p, units, pair.from)).squaredNorm();
  return std::sqrt(sum / (2 * static_cast<double>(pairs.size())));
}

// Normal equations in units of a corner's standard deviation.
void add_up(const std::vector<PointPair>& pairs, const PhotoParameters& p, const PhotoUnits& units,
            double sigma_px, PhotoNormal& normal, PhotoParameters& right) {
  normal.setZero();
  right.setZero();
  for (const auto& pair : pairs) {
    const auto slope = photo_slopes(p, units, pair.from);
    normal += slope.transpose() * slope / (sigma_px * sigma_px);
    right += slope.transpose() * (pair.to - photo_of(p, units, pair.from)) / (sigma_px * sigma_px);
  }
  add_lens_prior(p, normal, right);
}

// Between the outermost tags.
double spread_of(const std::vector<PointPair>& pairs, const PhotoParameters& p, const PhotoUnits& units,
                 const PhotoNormal& covariance) {
  Eigen::Vector2d low = pairs.front().from;
  Eigen::Vector2d high = low;
  for (const auto& pair : pairs) low = low.cwiseMin(pair.from), high = high.cwiseMax(pair.from);
  return spread_mm(low, high, p, units, covariance);
}

}  // namespace

std::optional<PhotoFit> fit_photo(const std::vector<DetectedTag>& tags, double width_px, double height_px) {
  if (tags.size() < 4) return std::nullopt;
  std::vector<PointPair> pairs;
  std::vector<Eigen::Vector2d> places;
  for (const auto& tag : tags) {
    pairs.insert(pairs.end(), tag.stored_from_sheet.begin(), tag.stored_from_sheet.end());
    for (const auto& pair : tag.stored_from_sheet) places.push_back(pair.from);
  }
  const PhotoUnits units = photo_units(places, width_px, height_px);
  const auto start = start_of(pairs, units);
  if (!start) return std::nullopt;
  PhotoParameters p = *start;
  PhotoNormal normal;
  PhotoParameters right;
  for (int round = 0; round < kPhotoRounds; ++round) {
    const double sigma = std::max(kLeastPhotoSigma_px, residual_px(pairs, p, units));
    add_up(pairs, p, units, sigma, normal, right);
    const PhotoParameters step = normal.ldlt().solve(right);
    if (!step.allFinite()) return std::nullopt;
    p += step;
    if (step.norm() < 1e-10) break;
  }
  PhotoFit out;
  out.residual_px = residual_px(pairs, p, units);
  add_up(pairs, p, units, std::max(kLeastPhotoSigma_px, out.residual_px), normal, right);
  out.map = map_of(p, units);
  out.map.tags = static_cast<int>(tags.size());
  out.map.sigma_mm = spread_of(pairs, p, units, normal.inverse());
  return out;
}

}  // namespace scrapetrace::page
