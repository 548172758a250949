#pragma once
// Look-up tables with linear interpolation: density to linear light (Beer-Lambert) and linear light to sRGB
// code.

#include <array>
#include <cstddef>

namespace scrapetrace::press {

// 10^-density for density >= 0, to 7e-7 relative; beyond 8 it stays at 1e-8.
class Transmittance {
 public:
  Transmittance();
  [[nodiscard]] float operator()(float density) const {
    const float at = density < kLast ? density * kPerDensity : kLast * kPerDensity;
    const auto i = static_cast<std::size_t>(at);
    return table_[i] + (at - static_cast<float>(i)) * (table_[i + 1] - table_[i]);
  }

 private:
  static constexpr float kPerDensity = 1024;
  static constexpr float kLast = 8;
  std::array<float, 8 * 1024 + 2> table_{};
};

// sRGB code as a fraction of full scale for linear light, clamped to [0, 1]; within 1.2e-6 of full scale.
class SrgbCode {
 public:
  SrgbCode();
  [[nodiscard]] float operator()(float linear) const {
    const float clamped = linear < 0 ? 0 : (linear > 1 ? 1 : linear);
    const float at = clamped * kSteps;
    const auto i = static_cast<std::size_t>(at);
    return table_[i] + (at - static_cast<float>(i)) * (table_[i + 1] - table_[i]);
  }

 private:
  static constexpr float kSteps = 16384;
  std::array<float, 16384 + 2> table_{};
};

}  // namespace scrapetrace::press
