#pragma once
// The distortion that an affine map leaves. Scanners stretch a line of the page locally by a few tenths of a
// millimetre, each unit in its own way. Only marks can show it.

#include <Eigen/Core>
#include <vector>

namespace scrapetrace::page {

// A mark that lies `dx_mm` to the right of where the map places it.
struct BendPoint {
  Eigen::Vector2d at_mm;  // raster position, in millimetres
  double dx_mm = 0;
};

// A Gaussian process with mean 0 and covariance a^2 exp(-d^2 / (2 l^2)), observed at the marks with noise of
// 0.02 mm (Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, ch. 2). Far from all marks
// its mean returns to 0 and its standard deviation to a.
class Bend {
 public:
  // Chooses the amplitude a among 0, 0.02, 0.04, ... 0.64 mm by maximum likelihood; 0 unless the odds against
  // it are twenty to one.
  explicit Bend(std::vector<BendPoint> points, double length_mm = 70);
  [[nodiscard]] double amplitude_mm() const { return amplitude_mm_; }
  [[nodiscard]] double dx_mm(const Eigen::Vector2d& at_mm) const;
  [[nodiscard]] double sigma_mm(const Eigen::Vector2d& at_mm) const;

 private:
  [[nodiscard]] Eigen::VectorXd covariances(const Eigen::Vector2d& at_mm) const;

  std::vector<BendPoint> points_;
  double length_mm_;  // l
  double amplitude_mm_ = 0;
  Eigen::MatrixXd inverse_;  // of the marks' covariance with noise
  Eigen::VectorXd weights_;  // inverse_ times the marks' offsets
};

}  // namespace scrapetrace::page
