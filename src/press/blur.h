#pragma once
// The scanner's point spread: a sampled, normalised Gaussian in linear light, cut at four standard
// deviations. Across it works on half pixels, so that the column pattern is blurred before sampling.

#include <cstddef>
#include <vector>

namespace scrapetrace::press {

// Weights of 2 * radius + 1 pixels; they sum to 1.
struct Kernel {
  int radius = 0;
  std::vector<float> down;         // whole pixels
  std::vector<float> left, right;  // half pixels: the Gaussian averaged over each half
};
Kernel gaussian_kernel(double sigma_px);

// out[i] = sum over k of weights[k] * in[k][i], i in [0, count), summed in the order of k.
void weigh(const std::vector<float>& weights, const std::vector<const float*>& in, std::size_t count,
           float* out);

}  // namespace scrapetrace::press
