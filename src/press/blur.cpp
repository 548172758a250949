#include "press/blur.h"

#include <cmath>
#include <cstddef>
#include <numeric>

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

void add_scaled(float weight, const float* in, std::size_t count, float* out) {
  for (std::size_t i = 0; i < count; ++i) out[i] += weight * in[i];
}

}  // namespace scrapetrace::press
