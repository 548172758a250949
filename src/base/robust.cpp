#include "base/robust.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace scrapetrace {

double median(std::vector<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

double robust_sigma(const std::vector<double>& values, double centre) {
  std::vector<double> deviation;
  deviation.reserve(values.size());
  for (double v : values) deviation.push_back(std::abs(v - centre));
  return 1.4826 * median(std::move(deviation));
}

std::vector<double> running_median(const std::vector<double>& values, std::size_t reach) {
  std::vector<double> out(values.size(), std::numeric_limits<double>::quiet_NaN());
  std::vector<double> sorted;  // the window in order of size: one value enters and one leaves at each step
  const auto enter = [&](double value) {
    if (!std::isnan(value)) sorted.insert(std::upper_bound(sorted.begin(), sorted.end(), value), value);
  };
  const auto leave = [&](double value) {
    if (!std::isnan(value)) sorted.erase(std::lower_bound(sorted.begin(), sorted.end(), value));
  };
  for (std::size_t i = 0; i < std::min(reach, values.size()); ++i) enter(values[i]);
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (i + reach < values.size()) enter(values[i + reach]);
    if (i > reach) leave(values[i - reach - 1]);
    if (!sorted.empty()) out[i] = sorted[sorted.size() / 2];
  }
  return out;
}

}  // namespace scrapetrace
