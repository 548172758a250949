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

std::uint8_t srgb8_from_linear(double linear) {
  constexpr std::size_t kSteps = 4096;  // a step spans two codes at most
  struct Codes {
    std::array<double, 256> from{};             // where each code begins
    std::array<std::uint8_t, kSteps + 1> at{};  // the code where each step begins
  };
  static const Codes codes = [] {
    Codes c;
    for (std::size_t k = 1; k < c.from.size(); ++k)
      c.from[k] = linear_from_srgb((static_cast<double>(k) - 0.5) / 255);
    for (std::size_t i = 0; i < c.at.size(); ++i) {
      const auto after = std::upper_bound(c.from.begin(), c.from.end(), static_cast<double>(i) / kSteps);
      c.at[i] = static_cast<std::uint8_t>(after - c.from.begin() - 1);
    }
    return c;
  }();
  linear = std::clamp(linear, 0.0, 1.0);
  std::size_t code = codes.at[static_cast<std::size_t>(linear * kSteps)];
  while (code < 255 && linear >= codes.from[code + 1]) ++code;
  return static_cast<std::uint8_t>(code);
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
