#include "profile/sampling.h"

#include <cmath>
#include <numeric>

namespace scrapetrace::profile {

std::array<double, 4> cubic_taps(double t) {
  const double t2 = t * t;
  const double t3 = t2 * t;
  return {-0.5 * t3 + t2 - 0.5 * t, 1.5 * t3 - 2.5 * t2 + 1, -1.5 * t3 + 2 * t2 + 0.5 * t,
          0.5 * t3 - 0.5 * t2};
}

void Phases::add(double past_pixel, double rows) {
  const double whole = past_pixel - std::floor(past_pixel);
  rows_[static_cast<std::size_t>(std::lround(whole * kPhases) % kPhases)] += rows;
}

void Phases::add(const Phases& other) {
  for (std::size_t k = 0; k < rows_.size(); ++k) rows_[k] += other.rows_[k];
}

std::array<double, 4 * kPhases + 1> Phases::taps() const {
  std::array<double, 4 * kPhases + 1> out{};
  const double total = std::accumulate(rows_.begin(), rows_.end(), 0.0);
  for (int phase = 0; phase < kPhases; ++phase) {
    const double part = total > 0 ? rows_[static_cast<std::size_t>(phase)] / total : (phase == 0 ? 1.0 : 0.0);
    const auto taps = cubic_taps(static_cast<double>(phase) / kPhases);
    for (int pixel = -1; pixel <= 2; ++pixel)
      out[static_cast<std::size_t>((2 + pixel) * kPhases - phase)] +=
          part * taps[static_cast<std::size_t>(pixel + 1)];
  }
  return out;
}

}  // namespace scrapetrace::profile
