#include "profile/baseline.h"

#include <algorithm>
#include <cmath>

#include "base/robust.h"

namespace scrapetrace::profile {

std::vector<float> baseline(const std::vector<float>& values, int from, int to, double pitch_mm,
                            const BaselineOptions& options) {
  std::vector<float> out(values.size(), 0.0F);
  const int cell = std::max(1, static_cast<int>(std::lround(options.cell_mm / pitch_mm)));
  const int n = std::max(1, (to - from) / cell);
  std::vector<double> means(static_cast<std::size_t>(n));
  for (int k = 0; k < n; ++k) {
    const int a = from + k * cell;
    const int b = k + 1 == n ? to : a + cell;
    double sum = 0;
    int count = 0;
    for (int i = a; i < b; ++i) {
      const auto value = static_cast<double>(values[static_cast<std::size_t>(i)]);
      if (!std::isnan(value)) sum += value, ++count;
    }
    means[static_cast<std::size_t>(k)] = sum / count;  // none of none
  }
  const auto reach = static_cast<std::size_t>(std::lround(options.window_mm / options.cell_mm / 2));
  const auto smooth = running_median(means, reach);
  for (int i = from; i < to; ++i) {
    const double at = (i - from + 0.5) / cell - 0.5;
    const int k = std::clamp(static_cast<int>(std::floor(at)), 0, std::max(0, n - 2));
    const double t = std::clamp(at - k, 0.0, 1.0);
    const double next = smooth[static_cast<std::size_t>(std::min(k + 1, n - 1))];
    out[static_cast<std::size_t>(i)] =
        static_cast<float>(smooth[static_cast<std::size_t>(k)] * (1 - t) + next * t);
  }
  return out;
}

}  // namespace scrapetrace::profile
