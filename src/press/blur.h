#pragma once
// The scanner's point spread: a sampled, normalised Gaussian over whole pixels, cut at four standard
// deviations.

#include <vector>

namespace scrapetrace::press {

// 2 * radius + 1 weights that sum to 1; a single 1 for sigma 0.
std::vector<float> gaussian_kernel(double sigma_px);

// out[i] = sum over k of kernel[k] * in[i + k * stride], i in [0, count).
void blur_across(const std::vector<float>& kernel, const float* in, int stride, int count, float* out);

}  // namespace scrapetrace::press
