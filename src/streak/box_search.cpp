#include "streak/box_search.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/quantiles.h"
#include "base/robust.h"
#include "base/wide.h"

namespace scrapetrace::streak {

namespace {

constexpr double kMadEfficiency = 0.36;
constexpr int kFewestCells = 6;
constexpr double kAlmost = 1 - 1e-9;

std::vector<int> widths(const Signal& signal, const BoxSearchOptions& options) {
  std::vector<int> out;
  const int length = signal.to - signal.from;
  for (double w = std::max(1.0, options.narrowest); w <= options.widest * 1.0001; w *= std::numbers::sqrt2) {
    const int rounded = static_cast<int>(std::lround(w));
    if (length / rounded < kFewestCells) break;
    if (out.empty() || out.back() != rounded) out.push_back(rounded);
  }
  return out;
}

// Of all boxes `w` wide, by the sums of all values before each.
SCRAPETRACE_WIDE void take_means(const std::vector<double>& prefix, int w, std::vector<double>& mean) {
  const double* const from = prefix.data();
  const double* const to = from + w;
  double* const out = mean.data();
  const std::size_t n = mean.size();
  for (std::size_t i = 0; i < n; ++i) out[i] = (to[i] - from[i]) / w;
}

}  // namespace

double independent_cells(const Signal& signal, const BoxSearchOptions& options) {
  double cells = 0;
  for (int w : widths(signal, options)) cells += static_cast<double>(signal.to - signal.from) / w;
  return cells;
}

std::vector<Detection> search_boxes(const Signal& signal, const BoxSearchOptions& options) {
  const int length = signal.to - signal.from;
  std::vector<Detection> peaks;
  if (length < kFewestCells) return peaks;
  std::vector<double> prefix(static_cast<std::size_t>(length) + 1, 0.0);
  for (int i = 0; i < length; ++i) {
    prefix[static_cast<std::size_t>(i) + 1] =
        prefix[static_cast<std::size_t>(i)] + signal.value[static_cast<std::size_t>(signal.from + i)];
  }
  std::vector<double> mean;
  for (int w : widths(signal, options)) {
    const int places = length - w + 1;
    mean.resize(static_cast<std::size_t>(places));
    take_means(prefix, w, mean);
    const int step = std::max(1, w / 4);
    std::vector<double> some;
    for (int i = 0; i < places && step > 1; i += step) some.push_back(mean[static_cast<std::size_t>(i)]);
    const std::vector<double>& sparse = step > 1 ? some : mean;
    const double centre = median(sparse);
    const double sigma = std::max(robust_sigma(sparse, centre), 1e-6);
    const double cells = static_cast<double>(length) / w;
    const double threshold =
        student_upper_quantile(options.probability, std::max(3.0, kMadEfficiency * cells));
    const double worth_a_look = kAlmost * options.ease * threshold * sigma;
    for (int i = 0; i < places; ++i) {
      const double here = mean[static_cast<std::size_t>(i)];
      if (here - centre < worth_a_look) continue;  // spares all but a few a division
      const double z = (here - centre) / sigma;
      if (z < options.ease * threshold) continue;
      if (i > 0 && mean[static_cast<std::size_t>(i) - 1] > here) continue;
      if (i + 1 < places && mean[static_cast<std::size_t>(i) + 1] >= here) continue;
      peaks.push_back({signal.from + i + 0.5 * w - 0.5, static_cast<double>(w), z, threshold, here - centre});
    }
  }
  std::stable_sort(peaks.begin(), peaks.end(),
                   [](const Detection& a, const Detection& b) { return a.z > b.z; });
  std::vector<Detection> kept;
  for (const Detection& p : peaks) {
    const bool covered = std::any_of(kept.begin(), kept.end(), [&](const Detection& k) {
      return std::abs(k.centre - p.centre) < 0.5 * (k.width + p.width);
    });
    if (!covered) kept.push_back(p);
  }
  return kept;
}

}  // namespace scrapetrace::streak
