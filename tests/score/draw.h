#pragma once
// Random numbers of one case, a pure function of (seed, index).

#include <cmath>
#include <cstdint>
#include <numeric>
#include <vector>

#include "press/random.h"

namespace scrapetrace::score {

class Draw {
 public:
  Draw(std::uint64_t seed, std::uint64_t index) : key_(press::mix(press::mix(press::mix(seed)) + index)) {}

  std::uint64_t bits() { return press::mix(key_ + count_++); }
  // Uniform in [0, 1).
  double unit() { return static_cast<double>(bits() >> 11U) * 0x1p-53; }
  double between(double low, double high) { return low + (high - low) * unit(); }
  double log_between(double low, double high) { return std::exp(between(std::log(low), std::log(high))); }
  std::size_t below(std::size_t n) { return static_cast<std::size_t>(unit() * static_cast<double>(n)); }
  bool chance(double probability) { return unit() < probability; }
  // Index drawn with the given weights.
  std::size_t weighted(const std::vector<double>& weights) {
    double left = unit() * std::accumulate(weights.begin(), weights.end(), 0.0);
    for (std::size_t i = 0; i + 1 < weights.size(); ++i) {
      if (left < weights[i]) return i;
      left -= weights[i];
    }
    return weights.size() - 1;
  }

 private:
  std::uint64_t key_;
  std::uint64_t count_ = 0;
};

}  // namespace scrapetrace::score
