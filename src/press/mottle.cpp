#include "press/mottle.h"

#include <algorithm>
#include <cmath>

#include "press/random.h"

namespace scrapetrace::press {

namespace {

constexpr double kNodesPerLength = 4;

// White noise smoothed by a Gaussian of standard deviation length / sqrt(2) has correlation length `length`.
std::vector<float> kernel_of_unit_energy() {
  const double sigma = kNodesPerLength * M_SQRT1_2;
  const int radius = static_cast<int>(std::ceil(3.5 * sigma));
  std::vector<float> kernel;
  double energy = 0;
  for (int i = -radius; i <= radius; ++i) {
    const double k = std::exp(-i * i / (2 * sigma * sigma));
    kernel.push_back(static_cast<float>(k));
    energy += k * k;
  }
  for (float& k : kernel) k /= static_cast<float>(std::sqrt(energy));
  return kernel;
}

struct Linear {
  int node = 0;
  double next = 0;
};

Linear locate(double at, int nodes) {
  const double clamped = std::clamp(at, 0.0, nodes - 1.0);
  const int node = std::min(static_cast<int>(clamped), nodes - 2);
  return {node, clamped - node};
}

}  // namespace

Mottle::Mottle(std::uint64_t field_key, double length_mm, double x_from_mm, double x_to_mm, double y_from_mm,
               double y_to_mm)
    : step_mm_(length_mm / kNodesPerLength), x_from_mm_(x_from_mm), y_from_mm_(y_from_mm) {
  width_ = static_cast<int>(std::ceil((x_to_mm - x_from_mm) / step_mm_)) + 2;
  height_ = static_cast<int>(std::ceil((y_to_mm - y_from_mm) / step_mm_)) + 2;
  const auto kernel = kernel_of_unit_energy();
  const int margin = static_cast<int>(kernel.size()) - 1;
  const auto width = static_cast<std::size_t>(width_);
  std::vector<float> noise(width + static_cast<std::size_t>(margin));
  std::vector<float> across(width * static_cast<std::size_t>(height_ + margin), 0.0F);
  for (int y = 0; y < height_ + margin; ++y) {
    const std::uint64_t row_key = mix(field_key + static_cast<std::uint64_t>(y));
    for (std::size_t i = 0; i < noise.size(); ++i) noise[i] = normal_table()[mix(row_key + i) >> 52];
    float* out = across.data() + static_cast<std::size_t>(y) * width;
    for (std::size_t k = 0; k < kernel.size(); ++k) {
      for (std::size_t x = 0; x < width; ++x) out[x] += kernel[k] * noise[x + k];
    }
  }
  nodes_.assign(width * static_cast<std::size_t>(height_), 0.0F);
  for (std::size_t y = 0; y < static_cast<std::size_t>(height_); ++y) {
    for (std::size_t k = 0; k < kernel.size(); ++k) {
      const float* in = across.data() + (y + k) * width;
      for (std::size_t x = 0; x < width; ++x) nodes_[y * width + x] += kernel[k] * in[x];
    }
  }
}

void Mottle::take_row(double y_mm, std::vector<float>& nodes) const {
  const Linear y = locate((y_mm - y_from_mm_) / step_mm_, height_);
  const auto width = static_cast<std::size_t>(width_);
  const float* above = nodes_.data() + static_cast<std::size_t>(y.node) * width;
  const float* below = above + width;
  nodes.resize(width);
  const auto next = static_cast<float>(y.next);
  for (std::size_t x = 0; x < width; ++x) nodes[x] = above[x] + next * (below[x] - above[x]);
}

Mottle::Place Mottle::place(double x_mm) const {
  const Linear x = locate((x_mm - x_from_mm_) / step_mm_, width_);
  return {x.node, static_cast<float>(x.next)};
}

}  // namespace scrapetrace::press
