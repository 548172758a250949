#include "jets/same_jets.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "jets/ink_residual.h"

namespace scrapetrace::jets {

namespace {

constexpr double kReach_columns = 3;
constexpr double kTry_columns = 0.25;
constexpr double kLeastExpected = 0.4;  // correlation that two scans of one machine must let expect
constexpr double kLeast_mm = 60;        // of the drum, over all inks

struct Shown {
  profile::Grid grid;
  std::vector<InkResidual> inks;
};

Shown shown_by(const geometry::Machine& machine, const profile::PreparedScan& scan) {
  Shown out{scan.strips.grid, ink_losses(machine, scan)};
  for (InkResidual& ink : out.inks) leave_jets(out.grid.pitch_mm, ink);
  return out;
}

struct Sums {
  double both = 0;
  double one = 0;
  double other = 0;
  double jets_of_one = 0;  // what is not noise
  double jets_of_other = 0;
  double length_mm = 0;
  [[nodiscard]] double correlation() const {
    return one > 0 && other > 0 ? both / std::sqrt(one * other) : 0;
  }
  [[nodiscard]] double expected() const {
    if (one <= 0 || other <= 0) return 0;
    return std::sqrt(std::max(0.0, jets_of_one / one) * std::max(0.0, jets_of_other / other));
  }
};

void add(const profile::Grid& grid, const InkResidual& one, const profile::Grid& other_grid,
         const InkResidual& other, double shift_mm, Sums& sums) {
  for (int i = one.from; i < one.to; ++i) {
    const double at = other_grid.index(grid.at(i) + shift_mm);
    const int k = static_cast<int>(std::floor(at));
    if (k < other.from || k + 1 >= other.to) continue;
    const double t = at - k;
    const double b =
        other.value[static_cast<std::size_t>(k)] * (1 - t) + other.value[static_cast<std::size_t>(k) + 1] * t;
    const double a = one.value[static_cast<std::size_t>(i)];
    sums.both += a * b;
    sums.one += a * a;
    sums.other += b * b;
    sums.jets_of_one += a * a - one.noise_variance;
    sums.jets_of_other += b * b - other.noise_variance * ((1 - t) * (1 - t) + t * t);
    sums.length_mm += grid.pitch_mm;
  }
}

Sums compared(const Shown& one, const Shown& other, double shift_mm) {
  Sums sums;
  for (const InkResidual& a : one.inks) {
    const auto b = std::find_if(other.inks.begin(), other.inks.end(),
                                [&](const InkResidual& ink) { return ink.ink == a.ink; });
    if (b != other.inks.end()) add(one.grid, a, other.grid, *b, shift_mm, sums);
  }
  return sums;
}

}  // namespace

std::optional<double> jets_alike(const geometry::Machine& machine, const profile::PreparedScan& one,
                                 const profile::PreparedScan& other) {
  const Shown a = shown_by(machine, one);
  const Shown b = shown_by(machine, other);
  const Sums here = compared(a, b, 0);
  if (here.length_mm < kLeast_mm || here.expected() < kLeastExpected) return std::nullopt;
  double best = here.correlation();
  const int steps = static_cast<int>(kReach_columns / kTry_columns);
  for (int k = -steps; k <= steps; ++k)
    best = std::max(best, compared(a, b, k * kTry_columns * machine.layout.px_mm()).correlation());
  return best / here.expected();
}

}  // namespace scrapetrace::jets
