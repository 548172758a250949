#pragma once
// The scanner's point spread: a Gaussian over linear light, sampled, normalised and cut at four standard
// deviations. Across it works on half pixels, so that the columns' pattern is blurred before it is sampled.

#include <cstddef>
#include <vector>

namespace scrapetrace::press {

// Weights of the 2 * radius + 1 pixels around one pixel; they sum to 1.
struct Kernel {
  int radius = 0;
  std::vector<float> down;         // whole pixels
  std::vector<float> left, right;  // half pixels: the Gaussian over the mean of a pixel's two halves
};
Kernel gaussian_kernel(double sigma_px);

// out[i] = sum over k of weights[k] * in[k][i], i in [0, count); the sum is taken in the order of k.
void weigh(const std::vector<float>& weights, const std::vector<const float*>& in, std::size_t count,
           float* out);

}  // namespace scrapetrace::press
