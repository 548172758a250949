#include "base/robust.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace scrapetrace {

namespace {

constexpr std::size_t kMany = 1024;

// The values between two that most likely hold the k-th by size between them, and how many are less: found
// without a branch per value, which a processor would guess wrong every other time. Empty where the two do
// not.
std::vector<double> around(const std::vector<double>& values, std::size_t k, std::size_t& less) {
  constexpr std::size_t kDrawn = 129;
  constexpr std::size_t kAside = 20;  // of those drawn, to either side of the k-th
  std::array<double, kDrawn> drawn{};
  for (std::size_t i = 0; i < kDrawn; ++i) drawn[i] = values[i * (values.size() - 1) / (kDrawn - 1)];
  std::sort(drawn.begin(), drawn.end());
  const std::size_t about = k * (kDrawn - 1) / (values.size() - 1);
  const double low = drawn[std::max(about, kAside) - kAside];
  const double high = drawn[std::min(about + kAside, kDrawn - 1)];
  std::vector<double> out(values.size());
  std::size_t count = 0;
  less = 0;
  for (const double v : values) {
    out[count] = v;
    count += static_cast<std::size_t>(v >= low) & static_cast<std::size_t>(v <= high);
    less += static_cast<std::size_t>(v < low);
  }
  out.resize(k < less || k >= less + count ? 0 : count);
  return out;
}

double nth(std::vector<double>& values, std::size_t n) {
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(n);
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

}  // namespace

double median(std::vector<double> values) {
  if (values.empty()) return 0;
  const std::size_t middle = values.size() / 2;
  if (values.size() >= kMany) {
    std::size_t less = 0;
    if (auto some = around(values, middle, less); !some.empty()) return nth(some, middle - less);
  }
  return nth(values, middle);
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
