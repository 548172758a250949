#pragma once
// What is left of a page's shape once an affine map is fitted: scanners stretch a line of the page by a few
// tenths of a millimetre here and there (systematic, each unit its own way). Known near marks only.

#include <Eigen/Core>
#include <vector>

namespace scrapetrace::page {

// A mark that lies `dx_mm` to the right of where the map has it.
struct BendPoint {
  Eigen::Vector2d at_mm;  // in the raster, scaled to millimetres
  double dx_mm = 0;
};

// A Gaussian process of mean 0 with the covariance a^2 exp(-d^2 / (2 l^2)), seen at the marks with
// noise of 0.02 mm (Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, ch. 2). Near marks
// it follows them; far from all it goes back to 0, and its spread to a.
class Bend {
 public:
  // The amplitude a out of 0, 0.02, 0.04, ... 0.64 mm that makes the marks likeliest. The odds must be twenty
  // to one against none at all.
  explicit Bend(std::vector<BendPoint> points, double length_mm = 70);
  [[nodiscard]] double amplitude_mm() const { return amplitude_mm_; }
  [[nodiscard]] double dx_mm(const Eigen::Vector2d& at_mm) const;
  [[nodiscard]] double sigma_mm(const Eigen::Vector2d& at_mm) const;

 private:
  [[nodiscard]] Eigen::VectorXd covariances(const Eigen::Vector2d& at_mm) const;

  std::vector<BendPoint> points_;
  double length_mm_;  // l
  double amplitude_mm_ = 0;
  Eigen::MatrixXd inverse_;  // of the marks' covariance, noise included
  Eigen::VectorXd weights_;  // inverse_ times the marks' offsets
};

}  // namespace scrapetrace::page
