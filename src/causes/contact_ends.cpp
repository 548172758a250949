#include "causes/contact_ends.h"

#include <algorithm>
#include <cmath>

namespace scrapetrace::diagnose {

namespace {

constexpr double kAlike = 0.05;  // raster steps: closer middles are one

// Where middles of the region's columns stand in a raster step, in [0, 1), ascending.
std::vector<double> middles(const geometry::Machine& machine, const Interval& region_mm) {
  const double px = machine.layout.px_mm();
  std::vector<double> out;
  const int from =
      std::max(machine.columns.printed().first, static_cast<int>(std::floor(region_mm.from_mm / px)));
  const int to = std::min(machine.columns.printed().last, static_cast<int>(std::ceil(region_mm.to_mm / px)));
  for (int c = from; c <= to; ++c) {
    const auto owner = machine.columns.owner(c);
    if (owner.nobody()) continue;
    const auto carriage = machine.layout.heads[static_cast<std::size_t>(owner.head)].carriage;
    const double at = 0.5 + machine.layout.carriages[carriage].offset_mm / px;
    const double middle = at - std::floor(at);
    const auto alike = [&](double other) {
      const double apart = std::abs(other - middle);
      return std::min(apart, 1 - apart) < kAlike;
    };
    if (std::none_of(out.begin(), out.end(), alike)) out.push_back(middle);
  }
  if (out.empty()) out.push_back(0.5);
  std::sort(out.begin(), out.end());
  return out;
}

}  // namespace

ContactEnds::ContactEnds(const geometry::Machine& machine, const Interval& region_mm)
    : px_mm_(machine.layout.px_mm()) {
  const auto at = middles(machine, region_mm);
  for (std::size_t k = 0; k < at.size(); ++k) {
    const double next = k + 1 < at.size() ? at[k + 1] : at.front() + 1;
    spans_.push_back({0.5 * (at[k] + next), next - at[k]});
  }
}

double ContactEnds::place_mm(int number) const {
  const int step = static_cast<int>(std::floor(static_cast<double>(number) / per_step()));
  return (step + spans_[static_cast<std::size_t>(number - step * per_step())].middle) * px_mm_;
}

int ContactEnds::nearest(double x_mm) const {
  const int from = static_cast<int>(std::floor(x_mm / px_mm_)) * per_step();
  int best = from;
  for (int k = from - per_step(); k <= from + per_step(); ++k) {
    if (std::abs(place_mm(k) - x_mm) < std::abs(place_mm(best) - x_mm)) best = k;
  }
  return best;
}

double ContactEnds::length_mm(int number) const {
  const int step = static_cast<int>(std::floor(static_cast<double>(number) / per_step()));
  return spans_[static_cast<std::size_t>(number - step * per_step())].length * px_mm_;
}

}  // namespace scrapetrace::diagnose
