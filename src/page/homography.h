#pragma once
// Plane-to-plane maps from point pairs.

#include <Eigen/Core>
#include <optional>
#include <vector>

namespace scrapetrace::page {

struct PointPair {
  Eigen::Vector2d from;
  Eigen::Vector2d to;
};

Eigen::Vector2d apply_homography(const Eigen::Matrix3d& to_from, const Eigen::Vector2d& from);

// Least squares by the direct linear transformation with normalised coordinates (Hartley 1997); nothing for
// fewer than four pairs or for points on a line.
std::optional<Eigen::Matrix3d> fit_homography(const std::vector<PointPair>& pairs);

// Affine least squares, last row (0, 0, 1); nothing for fewer than three pairs or for points on a line.
std::optional<Eigen::Matrix3d> fit_affine(const std::vector<PointPair>& pairs);

}  // namespace scrapetrace::page
