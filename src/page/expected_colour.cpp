#include "page/expected_colour.h"

#include <algorithm>
#include <cmath>

namespace scrapetrace::page {

namespace {
constexpr Rgb kLuminance = {0.2126, 0.7152, 0.0722};
}

Rgb solid_density(const Layout& layout, const std::vector<std::string>& inks, bool grey) {
  Rgb density{};
  for (const auto& name : inks) {
    for (const Ink& ink : layout.inks) {
      if (ink.name != name) continue;
      for (std::size_t c = 0; c < 3; ++c) density[c] += ink.solid_density_rgb[c];
    }
  }
  if (grey) {
    double luminance = 0;
    for (std::size_t c = 0; c < 3; ++c) luminance += kLuminance[c] * std::pow(10.0, -density[c]);
    density.fill(-std::log10(luminance));
  }
  return density;
}

Rgb patch_linear(const Layout& layout, const Patch& patch, bool grey) {
  Rgb linear = solid_density(layout, patch.inks, grey);
  for (double& value : linear) value = 1 - patch.coverage + patch.coverage * std::pow(10.0, -value);
  return linear;
}

ChartImage::ChartImage(const Chart& chart, double cell_mm)
    : cell_mm_(cell_mm),
      width_(std::max(1, static_cast<int>(std::ceil(chart.sheet_mm[0] / cell_mm)))),
      row_(static_cast<std::size_t>(std::max(1, static_cast<int>(std::ceil(chart.sheet_mm[1] / cell_mm))))) {
  const auto cell = [&](double mm, int limit) {
    return std::clamp(static_cast<int>(std::lround(mm / cell_mm)), 0, limit);
  };
  const auto height = static_cast<int>(row_.size());
  std::vector<int> cuts = {0, height};  // rows change only at patch ends
  for (const Patch& patch : chart.patches) {
    for (const double y_mm : patch.y_mm) cuts.push_back(cell(y_mm, height));
  }
  std::sort(cuts.begin(), cuts.end());
  cuts.erase(std::unique(cuts.begin(), cuts.end()), cuts.end());
  const std::size_t kept = cuts.size() - 1;
  patch_.assign(kept * static_cast<std::size_t>(width_), -1);
  for (std::size_t k = 0; k < kept; ++k) {
    std::fill(row_.begin() + cuts[k], row_.begin() + cuts[k + 1], static_cast<int>(k));
    const auto row = patch_.begin() + static_cast<std::ptrdiff_t>(k) * width_;
    for (std::size_t p = 0; p < chart.patches.size(); ++p) {
      const Patch& patch = chart.patches[p];
      if (cell(patch.y_mm[0], height) > cuts[k] || cell(patch.y_mm[1], height) <= cuts[k]) continue;
      const int from = cell(patch.x_mm[0], width_);
      const int to = std::max(from, cell(patch.x_mm[1], width_));
      std::fill(row + from, row + to, static_cast<std::int16_t>(p));
    }
  }
}

}  // namespace scrapetrace::page
