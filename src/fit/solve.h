#pragma once
// The weighted least squares behind fit_layout(): x = a (X + d_h) + b, in a, b and g_h = a d_h.

#include <Eigen/Dense>
#include <optional>
#include <vector>

namespace scrapetrace::fit {

struct Sample {
  double x_drum_mm = 0;
  double x_sheet_mm = 0;
  double sigma_mm = 1;   // of x_sheet_mm, the place's own spread included
  std::size_t head = 0;  // 0: the reference; 1, 2, ...: the others
};

struct Solution {
  double slope = 1;  // a
  double intercept_mm = 0;
  bool slope_fitted = false;
  std::vector<double> moved_mm;  // d_h, the reference's 0 first
  Eigen::MatrixXd covariance;    // of a, b, d_1, d_2, ... for unit noise; 0 for a slope that was kept
  std::vector<double> residual_mm;
  std::vector<double> leverage;  // 1: nothing else checks the sample
  double chi2 = 0;
  int degrees_of_freedom = 0;
};

// `heads` counts the reference; every one of them has a sample. With a `slope` that one is taken; without, it
// is fitted where the samples determine it. nullopt: they do not.
std::optional<Solution> solve(const std::vector<Sample>& samples, std::size_t heads,
                              std::optional<double> slope);

}  // namespace scrapetrace::fit
