#include "likelihood/blend.h"

namespace scrapetrace::diagnose {

Blend make_blend(const std::vector<double>& edges_mm, const std::vector<double>& x_mm, double shift_mm,
                 const PointSpread& spread) {
  Blend blend;
  const double reach = spread.reach_mm();
  std::size_t start = 0;
  for (double sample : x_mm) {
    const double x = sample + shift_mm;
    while (start + 2 < edges_mm.size() && edges_mm[start + 1] < x - reach) ++start;
    blend.first.push_back(static_cast<int>(start));
    std::vector<double> weight;
    double below = spread.left_of(edges_mm[start] - x);
    for (std::size_t k = start; k + 1 < edges_mm.size() && edges_mm[k] <= x + reach; ++k) {
      const double above = spread.left_of(edges_mm[k + 1] - x);
      weight.push_back(above - below);
      below = above;
    }
    blend.weight.push_back(std::move(weight));
  }
  return blend;
}

}  // namespace scrapetrace::diagnose
