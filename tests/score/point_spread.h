#pragma once
// What a pixel, averaged over a block of rows, sees of the drum: the scanner's kernel smeared by the slant of
// the rows, as a cumulative function.

#include <vector>

namespace scrapetrace::score {

class PointSpread {
 public:
  // `pitch_mm`: a pixel on the drum; `slant_px`: how far the print moves under a pixel from row to row.
  PointSpread(double blur_px, double pitch_mm, int rows_per_block, double slant_px);
  // Part of the view that lies left of `offset_mm` from its middle.
  [[nodiscard]] double left_of(double offset_mm) const;
  [[nodiscard]] double reach_mm() const { return reach_mm_; }  // nothing is seen beyond

 private:
  double reach_mm_;
  double per_mm_;
  std::vector<double> table_;
};

}  // namespace scrapetrace::score
