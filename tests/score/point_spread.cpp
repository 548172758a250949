#include "score/point_spread.h"

#include <algorithm>
#include <cmath>

#include "press/blur.h"

namespace scrapetrace::score {

namespace {

constexpr int kPerPixel = 200;

// Cumulative weight of the kernel's half pixels up to a place, in pixels from the middle of the pixel.
class Cumulative {
 public:
  explicit Cumulative(const press::Kernel& kernel) : from_(-kernel.radius - 0.5), sums_{0.0} {
    for (std::size_t k = 0; k < kernel.left.size(); ++k) {
      sums_.push_back(sums_.back() + static_cast<double>(kernel.left[k]));
      sums_.push_back(sums_.back() + static_cast<double>(kernel.right[k]));
    }
  }
  [[nodiscard]] double operator()(double at_px) const {
    const double at = std::clamp(2 * (at_px - from_), 0.0, static_cast<double>(sums_.size() - 1));
    const auto i = std::min(static_cast<std::size_t>(at), sums_.size() - 2);
    return (sums_[i] + (at - static_cast<double>(i)) * (sums_[i + 1] - sums_[i])) / sums_.back();
  }

 private:
  double from_;
  std::vector<double> sums_;
};

}  // namespace

PointSpread::PointSpread(double blur_px, double pitch_mm, int rows_per_block, double slant_px)
    : per_mm_(kPerPixel / pitch_mm) {
  const press::Kernel kernel = press::gaussian_kernel(blur_px);
  const Cumulative cumulative(kernel);
  const double reach_px = kernel.radius + 1 + 0.5 * rows_per_block * std::abs(slant_px);
  reach_mm_ = reach_px * pitch_mm;
  const auto size = static_cast<std::size_t>(std::ceil(2 * reach_px * kPerPixel)) + 2;
  for (std::size_t i = 0; i < size; ++i) {
    const double at_px = static_cast<double>(i) / kPerPixel - reach_px;
    double sum = 0;
    for (int row = 0; row < rows_per_block; ++row)
      sum += cumulative(at_px + (row + 0.5 - 0.5 * rows_per_block) * slant_px);
    table_.push_back(sum / rows_per_block);
  }
}

double PointSpread::left_of(double offset_mm) const {
  const double at = (offset_mm + reach_mm_) * per_mm_;
  if (at <= 0) return 0;
  const auto i = static_cast<std::size_t>(at);
  if (i + 1 >= table_.size()) return 1;
  return table_[i] + (at - static_cast<double>(i)) * (table_[i + 1] - table_[i]);
}

}  // namespace scrapetrace::score
