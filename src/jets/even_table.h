#pragma once
// An even function of one number, looked up instead of worked out.

#include <cmath>
#include <cstddef>
#include <vector>

namespace scrapetrace::jets {

// f at equal steps of |x| up to `reach`, straight lines between them, 0 beyond: off by at most
// step^2 / 8 max |f''|.
class EvenTable {
 public:
  template <class Function>
  EvenTable(const Function& f, double reach, double step) : per_step_(1 / step) {
    const auto count = static_cast<std::size_t>(std::ceil(reach / step));
    for (std::size_t k = 0; k <= count; ++k) values_.push_back(f(static_cast<double>(k) * step));
  }
  [[nodiscard]] double at(double x) const {
    const double place = std::abs(x) * per_step_;
    const auto k = static_cast<std::size_t>(place);
    if (k + 1 >= values_.size()) return 0;
    const double t = place - static_cast<double>(k);
    return values_[k] + t * (values_[k + 1] - values_[k]);
  }

 private:
  double per_step_;
  std::vector<double> values_;
};

}  // namespace scrapetrace::jets
