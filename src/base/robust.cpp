#include "base/robust.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "base/wide.h"

namespace scrapetrace {

namespace {

constexpr std::size_t kMany = 1024;

struct Bounds {
  double low;
  double high;
};

// Two values that most likely hold the k-th by size between them.
Bounds bounds_about(const std::vector<double>& values, std::size_t k) {
  constexpr std::size_t kDrawn = 129;
  constexpr std::size_t kAside = 20;  // of those drawn, to either side of the k-th
  std::array<double, kDrawn> drawn{};
  for (std::size_t i = 0; i < kDrawn; ++i) drawn[i] = values[i * (values.size() - 1) / (kDrawn - 1)];
  std::sort(drawn.begin(), drawn.end());
  const std::size_t about = k * (kDrawn - 1) / (values.size() - 1);
  return {drawn[std::max(about, kAside) - kAside], drawn[std::min(about + kAside, kDrawn - 1)]};
}

// How many of the values are less.
SCRAPETRACE_WIDE std::size_t count_less(const double* values, std::size_t count, double than) {
  std::size_t less = 0;
  for (std::size_t i = 0; i < count; ++i) less += static_cast<std::size_t>(values[i] < than);
  return less;
}

// How many are not greater.
SCRAPETRACE_WIDE std::size_t count_up_to(const double* values, std::size_t count, double limit) {
  std::size_t up_to = 0;
  for (std::size_t i = 0; i < count; ++i) up_to += static_cast<std::size_t>(values[i] <= limit);
  return up_to;
}

// Keeps the values near the k-th by size, unless the guess where it lies fails, and tells which of those left
// it is: without a branch per value, which a processor would guess wrong every other time.
std::size_t keep_around(std::vector<double>& values, std::size_t k) {
  const auto [low, high] = bounds_about(values, k);
  const std::size_t less = count_less(values.data(), values.size(), low);
  if (k < less || k >= count_up_to(values.data(), values.size(), high)) return k;
  std::size_t kept = 0;
  for (const double v : values) {
    values[kept] = v;
    kept += static_cast<std::size_t>(v >= low) & static_cast<std::size_t>(v <= high);
  }
  values.resize(kept);
  return k - less;
}

double nth(std::vector<double>& values, std::size_t n) {
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(n);
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

// Values in order of size. Where one stands is counted: that is quicker than a search among so few, whose
// every step would be guessed wrong every other time.
class Window {
 public:
  explicit Window(std::size_t most) : sorted_(most + 1) {}
  [[nodiscard]] std::size_t size() const { return size_; }
  [[nodiscard]] double middle() const { return sorted_[size_ / 2]; }
  // One value enters, and one that had entered leaves, unless they are no numbers.
  void move(double enters, double leaves) {
    double* all = sorted_.data();
    std::size_t gap = size_;  // where values may be moved to
    if (!std::isnan(leaves))
      gap = count_less(all, size_, leaves);
    else
      ++size_;
    if (std::isnan(enters)) {
      std::copy(all + gap + 1, all + size_, all + gap);
      --size_;
      return;
    }
    while (gap + 1 < size_ && all[gap + 1] < enters) all[gap] = all[gap + 1], ++gap;
    while (gap > 0 && all[gap - 1] > enters) all[gap] = all[gap - 1], --gap;
    all[gap] = enters;
  }

 private:
  std::vector<double> sorted_;
  std::size_t size_ = 0;
};

}  // namespace

double median(std::vector<double> values) {
  if (values.empty()) return 0;
  std::size_t middle = values.size() / 2;
  while (values.size() >= kMany) {
    const std::size_t before = values.size();
    middle = keep_around(values, middle);
    if (values.size() == before) break;
  }
  return nth(values, middle);
}

double robust_sigma(const std::vector<double>& values, double centre) {
  std::vector<double> deviation(values.size());
  std::transform(values.begin(), values.end(), deviation.begin(),
                 [centre](double value) { return std::abs(value - centre); });
  return 1.4826 * median(std::move(deviation));
}

std::vector<double> running_median(const std::vector<double>& values, std::size_t reach) {
  std::vector<double> out(values.size(), std::numeric_limits<double>::quiet_NaN());
  Window window(std::min(values.size(), 2 * reach + 1));
  constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
  for (std::size_t i = 0; i < std::min(reach, values.size()); ++i) window.move(values[i], kNone);
  for (std::size_t i = 0; i < values.size(); ++i) {
    window.move(i + reach < values.size() ? values[i + reach] : kNone,
                i > reach ? values[i - reach - 1] : kNone);
    if (window.size() > 0) out[i] = window.middle();
  }
  return out;
}

}  // namespace scrapetrace
