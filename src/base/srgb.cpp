#include "base/srgb.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace scrapetrace {

double linear_from_srgb(double code) {
  code = std::clamp(code, 0.0, 1.0);
  return code <= 0.04045 ? code / 12.92 : std::pow((code + 0.055) / 1.055, 2.4);
}

double srgb_from_linear(double linear) {
  linear = std::clamp(linear, 0.0, 1.0);
  return linear <= 0.0031308 ? linear * 12.92 : 1.055 * std::pow(linear, 1 / 2.4) - 0.055;
}

const std::array<double, 256>& linear_from_srgb8() {
  static const std::array<double, 256> table = [] {
    std::array<double, 256> t{};
    for (std::size_t i = 0; i < t.size(); ++i) t[i] = linear_from_srgb(static_cast<double>(i) / 255.0);
    return t;
  }();
  return table;
}

}  // namespace scrapetrace
