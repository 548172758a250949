#pragma once
// How columns blend into samples: each column is a box of ink, blurred by the scan's Gaussian point spread.

#include <vector>

namespace scrapetrace::diagnose {

// Sample i is the sum of weight[i][k] over columns first[i] + k.
struct Blend {
  std::vector<int> first;
  std::vector<std::vector<double>> weight;
};

// weight = Phi((right - x) / blur) - Phi((left - x) / blur) for a column's box [left, right] = centre -+ px/2.
// `column_mm` ascends up to the carriages' offsets; samples lie at x_mm + shift_mm. Columns farther than five
// blur lengths are left out.
Blend make_blend(const std::vector<double>& column_mm, double px_mm, const std::vector<double>& x_mm, double shift_mm,
                 double blur_mm);

}  // namespace scrapetrace::diagnose
