#include "press/screen.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace scrapetrace::press {

namespace {

constexpr std::size_t kSteps = 1024;  // per period, and of thresholds
constexpr std::array<double, 4> kInks_deg{0, 60, -15, 30};

// A fraction of a period or cell, times 2^32.
std::uint32_t part(double turns) {
  return static_cast<std::uint32_t>(std::llround((turns - std::floor(turns)) * 0x1p32));
}

struct Tables {
  std::array<float, kSteps> cosine;
  std::array<float, kSteps> share;  // fraction of a cell above a height from -2 to 2

  Tables() {
    for (std::size_t k = 0; k < kSteps; ++k)
      cosine[k] = static_cast<float>(
          std::cos(2 * std::numbers::pi * (static_cast<double>(k) + 0.5) / static_cast<double>(kSteps)));
    // One height per pair of positions in a quarter of the cell; the rest is symmetric.
    std::vector<float> heights;
    for (std::size_t u = 0; u < kSteps / 2; ++u) {
      for (std::size_t v = 0; v < kSteps / 2; ++v) heights.push_back(cosine[u] + cosine[v]);
    }
    std::sort(heights.begin(), heights.end());
    auto at = heights.begin();
    for (std::size_t k = 0; k < kSteps; ++k) {
      at = std::lower_bound(at, heights.end(),
                            4 * (static_cast<float>(k) + 0.5F) / static_cast<float>(kSteps) - 2);
      share[k] = static_cast<float>(heights.end() - at) / static_cast<float>(heights.size());
    }
  }
};

const Tables& tables() {
  static const Tables kTables;
  return kTables;
}

}  // namespace

HalftoneScreen::HalftoneScreen(const Raster& raster, double lines_per_inch, double angle_deg, std::size_t ink,
                               int row) {
  const double angle = (angle_deg + kInks_deg[ink % kInks_deg.size()]) * std::numbers::pi / 180;
  const double per_column = lines_per_inch / raster.cross_process_dpi;
  const double per_row = lines_per_inch / raster.process_dpi;
  along_ = part(row * per_row * std::sin(angle));
  across_ = part(row * per_row * std::cos(angle));
  step_along_ = part(per_column * std::cos(angle));
  step_across_ = part(-per_column * std::sin(angle));
}

float HalftoneScreen::threshold(std::uint32_t along, std::uint32_t across) {
  const Tables& table = tables();
  constexpr int kShift = 22;  // keeps the period's table index
  static_assert(kSteps == 1U << (32 - kShift));
  const float height = table.cosine[along >> kShift] + table.cosine[across >> kShift];
  const auto k = static_cast<std::size_t>((height + 2) / 4 * static_cast<float>(kSteps));
  return table.share[std::min(k, kSteps - 1)];
}

}  // namespace scrapetrace::press
