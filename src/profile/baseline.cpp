#include "profile/baseline.h"

#include <algorithm>
#include <cmath>

#include "base/robust.h"
#include "base/wide.h"

namespace scrapetrace::profile {

namespace {

// Samples between the centres of `count` cells by straight lines; level before the first and after the last.
SCRAPETRACE_WIDE void join(const double* cells, int count, int samples_per_cell, int samples, float* out) {
  const int last = std::max(0, count - 2);
  int i = 0;
  for (int k = 0; k <= last; ++k) {
    const double here = cells[k];
    const double next = cells[std::min(k + 1, count - 1)];
    const int end = k == last ? samples : std::min(samples, (2 * k + 3) * samples_per_cell / 2);
    for (; i < end; ++i) {
      const double at = (i + 0.5) / samples_per_cell - 0.5;
      const double t = std::min(std::max(at - k, 0.0), 1.0);
      out[i] = static_cast<float>(here * (1 - t) + next * t);
    }
  }
}

}  // namespace

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
  if (from < to) join(smooth.data(), n, cell, to - from, out.data() + from);
  return out;
}

}  // namespace scrapetrace::profile
