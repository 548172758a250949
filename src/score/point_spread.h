#pragma once
// A pixel's view of the drum: the scanner's Gaussian over the pixel's own box, as a cumulative function.

#include <vector>

namespace scrapetrace::score {

class PointSpread {
 public:
  // Gaussian of standard deviation sigma_mm over a box of width box_mm.
  PointSpread(double sigma_mm, double box_mm);
  // Part of the view that lies left of `offset_mm` from its middle; from a table, to 1e-6.
  [[nodiscard]] double left_of(double offset_mm) const;
  // Beyond this from its middle the pixel sees less than 1e-8.
  [[nodiscard]] double reach_mm() const { return reach_mm_; }

 private:
  double reach_mm_;
  double per_mm_;
  std::vector<double> table_;
};

}  // namespace scrapetrace::score
