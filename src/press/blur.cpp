#include "press/blur.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace scrapetrace::press {

std::vector<float> gaussian_kernel(double sigma_px) {
  const int radius = static_cast<int>(std::ceil(4 * sigma_px));
  std::vector<double> exact;
  double sum = 0;
  for (int i = -radius; i <= radius; ++i) {
    exact.push_back(sigma_px > 0 ? std::exp(-i * i / (2 * sigma_px * sigma_px)) : 1.0);
    sum += exact.back();
  }
  std::vector<float> kernel;
  for (const double k : exact) kernel.push_back(static_cast<float>(k / sum));
  return kernel;
}

void blur_across(const std::vector<float>& kernel, const float* in, int stride, int count, float* out) {
  std::fill(out, out + count, 0.0F);
  for (std::size_t k = 0; k < kernel.size(); ++k) {
    const float weight = kernel[k];
    const float* from = in + k * static_cast<std::size_t>(stride);
    for (int i = 0; i < count; ++i) out[i] += weight * from[i];
  }
}

}  // namespace scrapetrace::press
