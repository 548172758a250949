#pragma once
// What a sample of a profile sees of the drum: the scan's Gaussian about each pixel that it was interpolated
// from.

#include <vector>

#include "profile/sampling.h"

namespace scrapetrace::diagnose {

class PointSpread {
 public:
  // Standard deviation of a pixel's Gaussian, and from sample to sample (a pixel), both on the drum.
  PointSpread(double blur_mm, double pitch_mm, const profile::Phases& phases);
  // Of samples that are pixels.
  explicit PointSpread(double blur_mm) : PointSpread(blur_mm, blur_mm, {}) {}

  [[nodiscard]] double blur_mm() const { return blur_mm_; }
  [[nodiscard]] double reach_mm() const { return reach_mm_; }  // beyond, next to nothing is seen

  // Part of what is seen that lies left of a place `d_mm` to the right of the sample.
  [[nodiscard]] double left_of(double d_mm) const;

 private:
  double blur_mm_;
  double reach_mm_ = 0;
  double step_mm_ = 0;
  std::vector<double> left_of_;  // from -reach to reach
};

}  // namespace scrapetrace::diagnose
