#include "base/nth_value.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <vector>

#include "base/wide.h"

namespace scrapetrace {

namespace {

constexpr std::size_t kMany = 512;  // below this, sorting is faster than counting
constexpr std::size_t kFew = 64;    // sort once so few are left
constexpr int kMostCounts = 16;

SCRAPETRACE_WIDE std::size_t count_values_less(const double* values, std::size_t count, double than) {
  std::size_t less = 0;
  for (std::size_t i = 0; i < count; ++i) less += static_cast<std::size_t>(values[i] < than);
  return less;
}

SCRAPETRACE_WIDE std::size_t count_distances_less(const double* values, std::size_t count, double centre,
                                                  double than) {
  std::size_t less = 0;
  for (std::size_t i = 0; i < count; ++i)
    less += static_cast<std::size_t>(std::abs(values[i] - centre) < than);
  return less;
}

// Whether any is in [low, high).
SCRAPETRACE_WIDE bool any_value_in(const double* values, std::size_t count, double low, double high) {
  std::size_t in = 0;
  for (std::size_t i = 0; i < count; ++i)
    in += static_cast<std::size_t>(values[i] >= low) & static_cast<std::size_t>(values[i] < high);
  return in > 0;
}

SCRAPETRACE_WIDE bool any_distance_in(const double* values, std::size_t count, double centre, double low,
                                      double high) {
  std::size_t in = 0;
  for (std::size_t i = 0; i < count; ++i) {
    const double distance = std::abs(values[i] - centre);
    in += static_cast<std::size_t>(distance >= low) & static_cast<std::size_t>(distance < high);
  }
  return in > 0;
}

class Values {
 public:
  explicit Values(std::span<const double> values) : values_(values) {}
  [[nodiscard]] std::size_t size() const { return values_.size(); }
  double operator[](std::size_t i) const { return values_[i]; }
  [[nodiscard]] std::size_t less(double than) const { return count_less(values_, than); }
  [[nodiscard]] bool any_in(std::size_t from, std::size_t to, double low, double high) const {
    return any_value_in(values_.data() + from, to - from, low, high);
  }

 private:
  std::span<const double> values_;
};

class Distances {
 public:
  Distances(std::span<const double> values, double centre) : values_(values), centre_(centre) {}
  [[nodiscard]] std::size_t size() const { return values_.size(); }
  double operator[](std::size_t i) const { return std::abs(values_[i] - centre_); }
  [[nodiscard]] std::size_t less(double than) const {
    return count_distances_less(values_.data(), values_.size(), centre_, than);
  }
  [[nodiscard]] bool any_in(std::size_t from, std::size_t to, double low, double high) const {
    return any_distance_in(values_.data() + from, to - from, centre_, low, high);
  }

 private:
  std::span<const double> values_;
  double centre_;
};

// A value and how many values are smaller.
struct Bound {
  double value = 0;
  std::size_t rank = 0;
};

struct Between {
  Bound low;   // not above the one sought
  Bound high;  // above it
};

template <class All>
Bound counted(const All& all, double value) {
  return {value, all.less(value)};
}

// Two values from a small sample that most likely enclose the k-th.
template <class All>
std::array<double, 2> guess(const All& all, std::size_t k) {
  constexpr std::size_t kDrawn = 65;
  constexpr std::size_t kAside = 12;
  std::array<double, kDrawn> drawn{};
  for (std::size_t i = 0; i < kDrawn; ++i) drawn[i] = all[i * (all.size() - 1) / (kDrawn - 1)];
  std::sort(drawn.begin(), drawn.end());
  const std::size_t about = k * (kDrawn - 1) / (all.size() - 1);
  return {drawn[std::max(about, kAside) - kAside], drawn[std::min(about + kAside, kDrawn - 1)]};
}

template <class All>
Between bounds_about(const All& all, std::size_t k) {
  const auto [low, high] = guess(all, k);
  Between out{counted(all, low), counted(all, high)};
  if (out.low.rank <= k && k < out.high.rank) return out;
  double least = all[0];
  double most = all[0];
  for (std::size_t i = 1; i < all.size(); ++i) {
    least = std::min(least, all[i]);
    most = std::max(most, all[i]);
  }
  if (out.low.rank > k) out = {{least, 0}, out.low};
  if (k >= out.high.rank)
    out = {out.high, counted(all, std::nextafter(most, std::numeric_limits<double>::max()))};
  return out;
}

// Narrows the bounds until few values lie between them. Each round counts over all values without a branch,
// which a processor would mispredict.
template <class All>
void narrow(const All& all, std::size_t k, Between& bounds) {
  constexpr double kAside = kFew / 4.0;
  auto& [low, high] = bounds;
  for (int n = 0; n < kMostCounts && high.rank - low.rank > kFew; ++n) {
    const auto between = static_cast<double>(high.rank - low.rank);
    const bool from_below = k - low.rank > high.rank - k;
    const double rank = static_cast<double>(k - low.rank) + (from_below ? -kAside : kAside);
    const double value = low.value + (high.value - low.value) * std::clamp(rank / between, 0.05, 0.95);
    if (!(value > low.value && value < high.value)) return;  // all nearly equal
    const Bound now = counted(all, value);
    (now.rank <= k ? low : high) = now;
  }
}

template <class All>
std::vector<double> between(const All& all, const Between& bounds) {
  constexpr std::size_t kStretch = 32;  // most stretches hold no value within the bounds
  std::vector<double> out;
  out.reserve(bounds.high.rank - bounds.low.rank);
  const double low = bounds.low.value;
  const double high = bounds.high.value;
  for (std::size_t from = 0; from < all.size(); from += kStretch) {
    const std::size_t to = std::min(all.size(), from + kStretch);
    if (!all.any_in(from, to, low, high)) continue;
    for (std::size_t i = from; i < to; ++i) {
      if (all[i] >= low && all[i] < high) out.push_back(all[i]);
    }
  }
  return out;
}

template <class All>
double nth(const All& all, std::size_t k) {
  std::vector<double> left;
  std::size_t before = 0;
  if (all.size() < kMany) {
    for (std::size_t i = 0; i < all.size(); ++i) left.push_back(all[i]);
  } else {
    Between bounds = bounds_about(all, k);
    narrow(all, k, bounds);
    before = bounds.low.rank;
    left = between(all, bounds);
  }
  if (k - before >= left.size()) return std::numeric_limits<double>::quiet_NaN();  // some values are NaN
  const auto at = left.begin() + static_cast<std::ptrdiff_t>(k - before);
  std::nth_element(left.begin(), at, left.end());
  return *at;
}

}  // namespace

std::size_t count_less(std::span<const double> values, double than) {
  return count_values_less(values.data(), values.size(), than);
}

double nth_value(std::span<const double> values, std::size_t k) {
  return nth(Values(values), k);
}

double nth_distance(std::span<const double> values, double centre, std::size_t k) {
  return nth(Distances(values, centre), k);
}

}  // namespace scrapetrace
