#include "diagnose/blend.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace scrapetrace::diagnose {

Blend make_blend(const std::vector<double>& column_mm, double px_mm, const std::vector<double>& x_mm, double shift_mm,
                 double blur_mm) {
  Blend blend;
  const double reach = 5 * blur_mm + px_mm;
  const auto phi = [&](double d) { return 0.5 * std::erf(d / (blur_mm * std::numbers::sqrt2)); };
  std::size_t start = 0;
  for (double sample : x_mm) {
    const double x = sample + shift_mm;
    while (start < column_mm.size() && column_mm[start] < x - reach) ++start;
    blend.first.push_back(static_cast<int>(start));
    std::vector<double> weight;
    for (std::size_t c = start; c < column_mm.size() && column_mm[c] <= x + reach; ++c) {
      weight.push_back(phi(column_mm[c] + px_mm / 2 - x) - phi(column_mm[c] - px_mm / 2 - x));
    }
    blend.weight.push_back(std::move(weight));
  }
  return blend;
}

}  // namespace scrapetrace::diagnose
