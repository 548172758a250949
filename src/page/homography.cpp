#include "page/homography.h"

#include <Eigen/Dense>
#include <cmath>

namespace scrapetrace::page {

namespace {

constexpr double kFlat = 1e-9;  // least squared ratio of spreads for points not on a line

// Moves points to their centroid and scales them to mean distance sqrt(2).
struct Normaliser {
  Eigen::Vector2d middle = Eigen::Vector2d::Zero();
  double scale = 1;
  [[nodiscard]] Eigen::Matrix3d matrix() const {
    Eigen::Matrix3d m;
    m << scale, 0, -scale * middle[0], 0, scale, -scale * middle[1], 0, 0, 1;
    return m;
  }
};

template <class Member>
Normaliser normaliser_of(const std::vector<PointPair>& pairs, Member member) {
  Normaliser out;
  for (const auto& pair : pairs) out.middle += pair.*member / static_cast<double>(pairs.size());
  double distance = 0;
  for (const auto& pair : pairs)
    distance += (pair.*member - out.middle).norm() / static_cast<double>(pairs.size());
  if (distance > 0) out.scale = std::sqrt(2.0) / distance;
  return out;
}

template <class Member>
bool on_a_line(const std::vector<PointPair>& pairs, Member member, const Eigen::Vector2d& middle) {
  Eigen::Matrix2d scatter = Eigen::Matrix2d::Zero();
  for (const auto& pair : pairs) {
    const Eigen::Vector2d d = pair.*member - middle;
    scatter += d * d.transpose();
  }
  const Eigen::Vector2d spread = Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d>(scatter).eigenvalues();
  return !(spread[0] > kFlat * spread[1]);
}

}  // namespace

Eigen::Vector2d apply_homography(const Eigen::Matrix3d& to_from, const Eigen::Vector2d& from) {
  const Eigen::Vector3d to = to_from * from.homogeneous();
  return to.head<2>() / to[2];
}

std::optional<Eigen::Matrix3d> fit_homography(const std::vector<PointPair>& pairs) {
  if (pairs.size() < 4) return std::nullopt;
  const Normaliser from = normaliser_of(pairs, &PointPair::from);
  const Normaliser to = normaliser_of(pairs, &PointPair::to);
  if (on_a_line(pairs, &PointPair::from, from.middle) || on_a_line(pairs, &PointPair::to, to.middle))
    return std::nullopt;
  Eigen::Matrix<double, 9, 9> normal = Eigen::Matrix<double, 9, 9>::Zero();
  for (const auto& pair : pairs) {
    const Eigen::Vector2d p = (pair.from - from.middle) * from.scale;
    const Eigen::Vector2d q = (pair.to - to.middle) * to.scale;
    Eigen::Matrix<double, 2, 9> rows;
    rows << p[0], p[1], 1, 0, 0, 0, -q[0] * p[0], -q[0] * p[1], -q[0],  //
        0, 0, 0, p[0], p[1], 1, -q[1] * p[0], -q[1] * p[1], -q[1];
    normal += rows.transpose() * rows;
  }
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix<double, 9, 9>> solver(normal);
  const Eigen::Matrix<double, 9, 1> h = solver.eigenvectors().col(0);
  Eigen::Matrix3d normalised;
  normalised << h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], h[8];
  Eigen::Matrix3d out = to.matrix().inverse() * normalised * from.matrix();
  if (!(std::abs(out(2, 2)) > 0) || !out.allFinite()) return std::nullopt;
  out /= out(2, 2);
  return out;
}

std::optional<Eigen::Matrix3d> fit_affine(const std::vector<PointPair>& pairs) {
  if (pairs.size() < 3) return std::nullopt;
  const Normaliser from = normaliser_of(pairs, &PointPair::from);
  if (on_a_line(pairs, &PointPair::from, from.middle)) return std::nullopt;
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
  Eigen::Matrix<double, 3, 2> right = Eigen::Matrix<double, 3, 2>::Zero();
  for (const auto& pair : pairs) {
    const Eigen::Vector3d p = ((pair.from - from.middle) * from.scale).homogeneous();
    normal += p * p.transpose();
    right += p * pair.to.transpose();
  }
  const Eigen::Matrix<double, 3, 2> solved = normal.ldlt().solve(right);
  Eigen::Matrix3d out = Eigen::Matrix3d::Identity();
  out.topRows<2>() = solved.transpose();
  return out * from.matrix();
}

}  // namespace scrapetrace::page
