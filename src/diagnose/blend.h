#pragma once
// How boxes of ink blend into samples: each is blurred by the scan's Gaussian point spread.

#include <vector>

namespace scrapetrace::diagnose {

// Sample i is the sum of weight[i][k] over boxes first[i] + k.
struct Blend {
  std::vector<int> first;
  std::vector<std::vector<double>> weight;
};

// weight = Phi((b - x) / blur) - Phi((a - x) / blur) for a box [a, b] of the drum. Boxes ascend without gaps:
// box k lies between edges_mm[k] and edges_mm[k + 1]. Samples lie at x_mm + shift_mm. Boxes farther than five
// blur lengths are left out.
Blend make_blend(const std::vector<double>& edges_mm, const std::vector<double>& x_mm, double shift_mm,
                 double blur_mm);

}  // namespace scrapetrace::diagnose
