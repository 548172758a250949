#include "base/robust.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/nth_value.h"
#include "base/parallel.h"

namespace scrapetrace {

namespace {

// A sorted window. Positions are found by counting: for so few values that is faster than a binary search,
// whose branches are mispredicted half the time.
class Window {
 public:
  explicit Window(std::size_t most) : sorted_(most + 1) {}
  [[nodiscard]] std::size_t size() const { return size_; }
  [[nodiscard]] double middle() const { return sorted_[size_ / 2]; }
  // Replaces one value by another; NaN is ignored.
  void move(double enters, double leaves) {
    double* all = sorted_.data();
    std::size_t gap = size_;  // the free slot
    if (!std::isnan(leaves))
      gap = count_less({all, size_}, leaves);
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

double median(std::span<const double> values) {
  return values.empty() ? 0 : nth_value(values, values.size() / 2);
}

double robust_sigma(std::span<const double> values, double centre) {
  return values.empty() ? 0 : 1.4826 * nth_distance(values, centre, values.size() / 2);
}

std::vector<double> running_median(const std::vector<double>& values, std::size_t reach, int threads) {
  constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
  constexpr std::size_t kAtOnce = 2048;
  std::vector<double> out(values.size(), kNone);
  for_each_stretch(values.size(), kAtOnce, threads, [&](std::size_t from, std::size_t to) {
    Window window(std::min(values.size(), 2 * reach + 1));
    for (std::size_t i = from - std::min(from, reach); i < std::min(from + reach, values.size()); ++i)
      window.move(values[i], kNone);
    for (std::size_t i = from; i < to; ++i) {
      const bool leaves = i > from && i > reach;
      window.move(i + reach < values.size() ? values[i + reach] : kNone,
                  leaves ? values[i - reach - 1] : kNone);
      if (window.size() > 0) out[i] = window.middle();
    }
  });
  return out;
}

}  // namespace scrapetrace
