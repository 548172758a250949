#include "page/place_by_tags.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace scrapetrace::page {

namespace {

constexpr double kLeastSigma_mm = 0.03;
constexpr double kMostResidual_mm = 1.5;
constexpr double kStray_mm = 1.5;

PointPair middle_of(const PageRaster& raster, const DetectedTag& tag) {
  PointPair out{Eigen::Vector2d::Zero(), Eigen::Vector2d::Zero()};
  for (const auto& corner : tag.stored_from_sheet) {
    out.from += raster_from_stored(raster, corner.to) / 4;
    out.to += corner.from / 4;
  }
  return out;
}

}  // namespace

std::optional<TagPlacement> place_by_tags(const PageRaster& raster, const DetectedTags& seen) {
  if (seen.tags.size() < 3) return std::nullopt;
  std::vector<PointPair> all;
  for (const auto& tag : seen.tags)
    all.insert(all.end(), tag.stored_from_sheet.begin(), tag.stored_from_sheet.end());
  const auto rough = fit_affine(all);
  if (!rough) return std::nullopt;
  const double px_per_mm = std::sqrt(std::abs(rough->topLeftCorner<2, 2>().determinant()));
  std::vector<PointPair> middles;  // tag centres
  for (const auto& tag : without_outliers(seen.tags, kStray_mm * px_per_mm))
    middles.push_back(middle_of(raster, tag));
  const auto map = fit_affine(middles);
  if (!map) return std::nullopt;

  TagPlacement out;
  out.tags = static_cast<int>(middles.size());
  double square = 0;
  double worst = 0;
  Eigen::Matrix3d scatter = Eigen::Matrix3d::Zero();
  for (const auto& tag : middles) {
    const Eigen::Vector2d miss = apply_homography(*map, tag.from) - tag.to;
    square += miss[0] * miss[0];
    worst = std::max(worst, miss.norm());
    const Eigen::Vector3d row(1, tag.from[0], tag.from[1]);
    scatter += row * row.transpose();
  }
  if (worst > kMostResidual_mm) return std::nullopt;
  const int freedom = std::max(1, out.tags - 3);
  out.residual_mm = std::sqrt(square / freedom);
  const double sigma = std::max(kLeastSigma_mm, out.residual_mm);
  auto& inverse = out.sheet_from_raster;
  inverse.p = Eigen::Vector3d((*map)(0, 2), (*map)(0, 0), (*map)(0, 1));
  inverse.q = Eigen::Vector3d((*map)(1, 2), (*map)(1, 0), (*map)(1, 1));
  // (1, r) scatter^-1 (1, r)' is 1/N + r' S^-1 r.
  inverse.p_covariance = sigma * sigma * scatter.inverse();
  return out;
}

}  // namespace scrapetrace::page
