#include "jets/combs.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/frames.h"

namespace scrapetrace::jets {

namespace {

double normal(double z) {
  return 0.5 * std::erfc(-z / std::numbers::sqrt2);
}

// Integral of the normal distribution function: z Phi(z) + phi(z).
double ramp(double z) {
  return z * normal(z) + std::exp(-0.5 * z * z) / std::sqrt(2 * std::numbers::pi);
}

// Of jet i with those that come after it; at a seam jets of two heads mingle, so the first that it does not
// meet need not be the last.
std::vector<double> overlaps(const std::vector<std::vector<double>>& jets, std::size_t i,
                             const ColumnSpread& spread) {
  constexpr std::size_t kFarthest = 40;
  std::vector<double> out(1, 0.0);
  for (std::size_t j = i; j < std::min(jets.size(), i + kFarthest); ++j) {
    double sum = 0;
    for (const double a : jets[i]) {
      for (const double b : jets[j]) {
        if (std::abs(a - b) < 2 * spread.reach_mm()) sum += spread.overlap(a - b);
      }
    }
    if (sum == 0) continue;
    out.resize(j - i + 1, 0.0);
    out.back() = sum;
  }
  return out;
}

}  // namespace

double ColumnSpread::weight(double distance_mm) const {
  return normal((distance_mm + half_mm_) / blur_mm_) - normal((distance_mm - half_mm_) / blur_mm_);
}

// Two boxes, blurred twice: the second difference of the integral of Phi at sqrt(2) blur.
double ColumnSpread::overlap(double distance_mm) const {
  const double blur = std::numbers::sqrt2 * blur_mm_;
  const double width = 2 * half_mm_;
  return blur * (ramp((distance_mm + width) / blur) - 2 * ramp(distance_mm / blur) +
                 ramp((distance_mm - width) / blur));
}

Combs make_combs(const Layout& layout, const geometry::ColumnMap& columns,
                 const std::function<bool(double)>& seen, const ColumnSpread& spread) {
  Combs out;
  for (std::size_t head = 0; head < layout.heads.size(); ++head) {
    for (int jet = 0; jet < layout.heads[head].jets; ++jet) {
      std::vector<double> centres;
      for (const int column : geometry::columns_of_jet(layout, columns, head, jet)) {
        const double x = geometry::drum_x_of_column(layout, column, layout.heads[head].carriage);
        if (seen(x)) centres.push_back(x);
      }
      if (!centres.empty()) out.jets.push_back(std::move(centres));
    }
  }
  for (std::size_t i = 0; i < out.jets.size(); ++i) out.overlap.push_back(overlaps(out.jets, i, spread));
  return out;
}

}  // namespace scrapetrace::jets
