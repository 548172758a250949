#pragma once
// How boxes of ink blend into samples: each is blurred by the scan's point spread.

#include <vector>

#include "likelihood/point_spread.h"

namespace scrapetrace::diagnose {

// Sample i is the sum of weight[i][k] over boxes first[i] + k.
struct Blend {
  std::vector<int> first;
  std::vector<std::vector<double>> weight;
};

// weight = left_of(b - x) - left_of(a - x) for a box [a, b] of the drum. Boxes ascend without gaps: box k
// lies between edges_mm[k] and edges_mm[k + 1]. Samples lie at x_mm + shift_mm. Boxes beyond the point
// spread's reach are left out.
Blend make_blend(const std::vector<double>& edges_mm, const std::vector<double>& x_mm, double shift_mm,
                 const PointSpread& spread);

}  // namespace scrapetrace::diagnose
