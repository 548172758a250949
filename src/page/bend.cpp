#include "page/bend.h"

#include <Eigen/Dense>
#include <cmath>

namespace scrapetrace::page {

namespace {

constexpr double kNoise_mm = 0.02;
constexpr double kOdds = 20;

double covariance(const Eigen::Vector2d& a, const Eigen::Vector2d& b, double amplitude_mm, double length_mm) {
  return amplitude_mm * amplitude_mm * std::exp(-0.5 * (a - b).squaredNorm() / (length_mm * length_mm));
}

Eigen::MatrixXd covariance_of(const std::vector<BendPoint>& points, double amplitude_mm, double length_mm) {
  const auto n = static_cast<Eigen::Index>(points.size());
  Eigen::MatrixXd out(n, n);
  for (Eigen::Index i = 0; i < n; ++i) {
    for (Eigen::Index j = 0; j < n; ++j) {
      out(i, j) = covariance(points[static_cast<std::size_t>(i)].at_mm,
                             points[static_cast<std::size_t>(j)].at_mm, amplitude_mm, length_mm);
    }
    out(i, i) += kNoise_mm * kNoise_mm;
  }
  return out;
}

Eigen::VectorXd offsets_of(const std::vector<BendPoint>& points) {
  Eigen::VectorXd out(static_cast<Eigen::Index>(points.size()));
  for (std::size_t i = 0; i < points.size(); ++i) out[static_cast<Eigen::Index>(i)] = points[i].dx_mm;
  return out;
}

// Up to a constant.
double log_likelihood(const std::vector<BendPoint>& points, double amplitude_mm, double length_mm) {
  const Eigen::LLT<Eigen::MatrixXd> factor(covariance_of(points, amplitude_mm, length_mm));
  const Eigen::VectorXd offsets = offsets_of(points);
  const Eigen::MatrixXd lower = factor.matrixL();
  return -0.5 * offsets.dot(factor.solve(offsets)) - lower.diagonal().array().log().sum();
}

}  // namespace

Bend::Bend(std::vector<BendPoint> points, double length_mm)
    : points_(std::move(points)), length_mm_(length_mm) {
  if (points_.empty()) return;
  double best = log_likelihood(points_, 0, length_mm_) + std::log(kOdds);
  for (double amplitude = 0.02; amplitude < 1; amplitude *= 2) {
    const double likelihood = log_likelihood(points_, amplitude, length_mm_);
    if (likelihood > best) best = likelihood, amplitude_mm_ = amplitude;
  }
  inverse_ = covariance_of(points_, amplitude_mm_, length_mm_).inverse();
  weights_ = inverse_ * offsets_of(points_);
}

Eigen::VectorXd Bend::covariances(const Eigen::Vector2d& at_mm) const {
  Eigen::VectorXd out(static_cast<Eigen::Index>(points_.size()));
  for (std::size_t i = 0; i < points_.size(); ++i)
    out[static_cast<Eigen::Index>(i)] = covariance(at_mm, points_[i].at_mm, amplitude_mm_, length_mm_);
  return out;
}

double Bend::dx_mm(const Eigen::Vector2d& at_mm) const {
  return amplitude_mm_ > 0 ? covariances(at_mm).dot(weights_) : 0;
}

double Bend::sigma_mm(const Eigen::Vector2d& at_mm) const {
  if (amplitude_mm_ <= 0) return 0;
  const Eigen::VectorXd k = covariances(at_mm);
  return std::sqrt(std::max(0.0, amplitude_mm_ * amplitude_mm_ - k.dot(inverse_ * k)));
}

}  // namespace scrapetrace::page
