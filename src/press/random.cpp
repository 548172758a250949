#include "press/random.h"

#include <cmath>
#include <cstddef>

namespace scrapetrace::press {

double normal_quantile(double p) {
  double low = -40;
  double high = 40;
  for (int i = 0; i < 60; ++i) {
    const double middle = (low + high) / 2;
    (std::erfc(-middle * M_SQRT1_2) / 2 < p ? low : high) = middle;
  }
  return (low + high) / 2;
}

double normal_from(std::uint64_t draw) {
  return normal_quantile((static_cast<double>(draw >> 12) + 0.5) * 0x1p-52);
}

const std::array<float, 4096>& normal_table() {
  static const std::array<float, 4096> table = [] {
    std::array<double, 4096> exact{};
    double sum_of_squares = 0;
    for (std::size_t i = 0; i < exact.size(); ++i) {
      exact[i] = normal_quantile((static_cast<double>(i) + 0.5) / static_cast<double>(exact.size()));
      sum_of_squares += exact[i] * exact[i];
    }
    const double to_unit_variance = std::sqrt(static_cast<double>(exact.size()) / sum_of_squares);
    std::array<float, 4096> t{};
    for (std::size_t i = 0; i < t.size(); ++i) t[i] = static_cast<float>(exact[i] * to_unit_variance);
    return t;
  }();
  return table;
}

}  // namespace scrapetrace::press
