#include "profile/spectrum.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/robust.h"

namespace scrapetrace::profile {

namespace {

constexpr std::ptrdiff_t kNearby = 40;
constexpr std::ptrdiff_t kNearest = 8;
constexpr std::ptrdiff_t kOwn = 3;  // lines on either side that a fringe takes up itself

std::vector<double> hann_window(std::size_t length) {
  std::vector<double> out(length);
  const double step = 2 * std::numbers::pi / static_cast<double>(length);
  for (std::size_t k = 0; k < length; ++k)
    out[k] = 0.5 - 0.5 * std::cos(step * (static_cast<double>(k) + 0.5));
  return out;
}

}  // namespace

std::size_t quick_length(std::size_t n) {
  for (n += (4 - n % 4) % 4;; n += 4) {
    std::size_t rest = n;
    for (const std::size_t factor : {2U, 3U, 5U}) {
      while (rest % factor == 0) rest /= factor;
    }
    if (rest == 1) return n;
  }
}

std::vector<double> Periodogram::powers(std::vector<double> values, double clip) {
  const double centre = median(values);
  const double sigma = robust_sigma(values, centre);
  if (sigma <= 0) return {};
  if (window_.size() != values.size()) window_ = hann_window(values.size());
  // Where on the lines it begins tells nothing about their power.
  for (std::size_t i = 0; i < values.size(); ++i)
    values[i] = window_[i] * std::clamp((values[i] - centre) / sigma, -clip, clip);
  values.resize(length_, 0.0);
  transform_.fwd(lines_, values);
  std::vector<double> out(length_ / 2);
  for (std::size_t k = 0; k < out.size(); ++k) out[k] = std::norm(lines_[k]);
  return out;
}

double median_nearby(const std::vector<double>& powers, std::ptrdiff_t k) {
  std::vector<double> values;
  const std::ptrdiff_t reach = std::clamp(k / 2, kNearest, kNearby);
  values.reserve(static_cast<std::size_t>(2 * reach + 1));
  for (std::ptrdiff_t j = k - reach; j <= k + reach; ++j) {
    if (j > 0 && j < static_cast<std::ptrdiff_t>(powers.size()) && std::abs(j - k) > kOwn)
      values.push_back(powers[static_cast<std::size_t>(j)]);
  }
  return values.empty() ? 0 : median(values);
}

}  // namespace scrapetrace::profile
