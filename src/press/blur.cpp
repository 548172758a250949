#include "press/blur.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>

#include "base/wide.h"

namespace scrapetrace::press {

namespace {

std::vector<float> normalised(const std::vector<double>& weights, double sum) {
  std::vector<float> out;
  for (const double w : weights) out.push_back(static_cast<float>(w / sum));
  return out;
}

double sum_of(const std::vector<double>& weights) {
  return std::accumulate(weights.begin(), weights.end(), 0.0);
}

}  // namespace

Kernel gaussian_kernel(double sigma_px) {
  Kernel kernel;
  kernel.radius = static_cast<int>(std::ceil(4 * sigma_px));
  const auto gauss = [&](double d) {
    if (sigma_px <= 0) return d == 0 ? 1.0 : 0.0;
    return std::exp(-d * d / (2 * sigma_px * sigma_px));
  };
  std::vector<double> down;
  std::vector<double> left;
  std::vector<double> right;
  for (int i = -kernel.radius; i <= kernel.radius; ++i) {
    down.push_back(gauss(i));
    left.push_back(gauss(i) + gauss(i - 0.5));
    right.push_back(gauss(i) + gauss(i + 0.5));
  }
  kernel.down = normalised(down, sum_of(down));
  kernel.left = normalised(left, sum_of(left) + sum_of(right));
  kernel.right = normalised(right, sum_of(left) + sum_of(right));
  return kernel;
}

// In pieces, so that a piece of `out` stays in the cache.
SCRAPETRACE_WIDE void weigh(const std::vector<float>& weights, const std::vector<const float*>& in,
                            std::size_t count, float* out) {
  constexpr std::size_t kPiece = 512;
  for (std::size_t from = 0; from < count; from += kPiece) {
    const std::size_t n = std::min(kPiece, count - from);
    float* piece = out + from;
    std::fill(piece, piece + n, 0.0F);
    for (std::size_t k = 0; k < weights.size(); ++k) {
      const float weight = weights[k];
      const float* row = in[k] + from;
      for (std::size_t i = 0; i < n; ++i) piece[i] += weight * row[i];
    }
  }
}

}  // namespace scrapetrace::press
