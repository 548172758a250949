#include "profile/fringes.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <numeric>

#include "base/robust.h"
#include "profile/spectrum.h"

namespace scrapetrace::profile {

namespace {

constexpr double kClip = 4;           // robust standard deviations: a streak is not to be heard
constexpr double kLeastLight = 0.02;  // of the paper's that the ink takes, to tell its share
constexpr double kLeastInk = 0.1;     // of its level, that fringes can leave
constexpr std::ptrdiff_t kLobe = 4;   // lines on either side that one fringe takes up

using Values = std::vector<double>;
using Complex = std::complex<double>;

// Light taken by the ink over what its level takes, less 1.
Values excess_ink(const TintProfile& strip, std::size_t from, std::size_t to) {
  Values out;
  for (std::size_t i = from; i < to; ++i) {
    const double level = 1 - static_cast<double>(strip.base[i]);
    out.push_back(level < kLeastLight ? 0 : (1 - static_cast<double>(strip.values[i])) / level - 1);
  }
  return out;
}

Values mean_of(const std::vector<Values>& strips) {
  Values out(strips[0].size(), 0.0);
  for (const Values& strip : strips) {
    for (std::size_t i = 0; i < out.size(); ++i) out[i] += strip[i] / static_cast<double>(strips.size());
  }
  return out;
}

Values held(const Values& values) {
  const double centre = median(values);
  const double sigma = robust_sigma(values, centre);
  Values out;
  for (const double value : values)
    out.push_back(std::clamp(value, centre - kClip * sigma, centre + kClip * sigma));
  return out;
}

// Lines of a spectrum that stand out, within [first, last).
std::vector<std::size_t> lines_of(const Values& powers, std::size_t first, std::size_t last,
                                  const FringeOptions& options) {
  std::vector<std::size_t> out;
  for (std::size_t k = first; k < std::min(last, powers.size()); ++k) {
    const auto at = powers.begin() + static_cast<std::ptrdiff_t>(k);
    const auto before = std::min<std::ptrdiff_t>(kLobe, at - powers.begin());
    const auto after = std::min<std::ptrdiff_t>(kLobe + 1, powers.end() - at);
    if (*at <= 0 || std::max_element(at - before, at + after) != at) continue;
    if (*at > options.stands_out * median_nearby(powers, static_cast<std::ptrdiff_t>(k))) out.push_back(k);
  }
  std::sort(out.begin(), out.end(), [&](std::size_t a, std::size_t b) {
    return powers[a] > powers[b] || (powers[a] == powers[b] && a < b);
  });
  out.resize(std::min(out.size(), static_cast<std::size_t>(options.most)));
  return out;
}

using Stretch = std::span<const double>;

// Sizes, with their phases, of what swings with `turns` a sample.
std::vector<Complex> sizes(Stretch values, double turns) {
  std::vector<Complex> out(values.size());
  const Complex step = std::polar(1.0, -2 * std::numbers::pi * turns);
  Complex turned = 1;
  for (std::size_t i = 0; i < out.size(); ++i, turned *= step) out[i] = values[i] * turned;
  return out;
}

// Mean over `reach` values on either side, as far as there are any.
void smooth(std::vector<Complex>& values, std::size_t reach) {
  std::vector<Complex> sums(values.size() + 1);
  std::partial_sum(values.begin(), values.end(), sums.begin() + 1);
  for (std::size_t i = 0; i < values.size(); ++i) {
    const std::size_t a = std::max(reach, i) - reach;
    const std::size_t b = std::min(values.size(), i + reach + 1);
    values[i] = (sums[b] - sums[a]) / static_cast<double>(b - a);
  }
}

// `turns` made better: what is still turning in the sizes is their mean step. At the ends of a stretch,
// where means are one-sided, a wrong one would show.
double better(double turns, Stretch values, std::size_t reach) {
  auto size = sizes(values, turns);
  smooth(size, reach);
  Complex step = 0;
  for (std::size_t i = 1; i < size.size(); ++i) step += size[i] * std::conj(size[i - 1]);
  const double most = 0.5 / static_cast<double>(values.size());  // else it is another fringe
  return turns + std::clamp(std::arg(step) / (2 * std::numbers::pi), -most, most);
}

// The part of values that swings with about `turns` a sample, its size and phase free to drift.
Values swinging(Stretch values, double turns, std::size_t reach) {
  const double exact = better(turns, values, reach);
  auto size = sizes(values, exact);
  // Twice, so that what lies beside the line is not let through by the window's side lobes.
  for (int k = 0; k < 2; ++k) smooth(size, reach);
  Values out(values.size());
  const Complex step = std::polar(1.0, 2 * std::numbers::pi * exact);
  Complex turned = 1;
  for (std::size_t i = 0; i < out.size(); ++i, turned *= step) out[i] = 2 * std::real(size[i] * turned);
  return out;
}

// Takes what swings with these turns a sample out of each strip.
void take_out(const Values& turns, const std::vector<std::size_t>& ends, std::size_t reach,
              std::vector<Values>& strips) {
  for (Values& strip : strips) {
    Values seen = held(strip);
    for (const double each : turns) {
      std::size_t from = 0;
      for (const std::size_t end : ends) {
        for (const double value : swinging(Stretch(seen).subspan(from, end - from), each, reach)) {
          seen[from] -= value;  // what two lines share goes once
          strip[from++] -= value;
        }
      }
    }
  }
}

}  // namespace

int take_out_fringes(std::span<const TintProfile> strips, std::span<const std::size_t> breaks,
                     double pitch_mm, const FringeOptions& options) {
  if (strips.empty()) return 0;
  std::size_t from = 0;
  std::size_t to = strips[0].to;
  for (const TintProfile& strip : strips) from = std::max(from, strip.from), to = std::min(to, strip.to);
  if (from >= to) return 0;
  const std::size_t length = quick_length(2 * (to - from));
  const double length_mm = static_cast<double>(length) * pitch_mm;
  const auto first = static_cast<std::size_t>(std::ceil(length_mm / options.longest_mm));
  // Nearer to two samples a period, a swing cannot be told from its mirror image.
  const auto own = static_cast<std::size_t>(std::ceil(length_mm / options.drift_mm));
  if (length / 2 < first + own) return 0;
  const auto reach = static_cast<std::size_t>(options.drift_mm / pitch_mm / 4);

  std::vector<std::size_t> ends;
  for (const std::size_t at : breaks) {
    if (at > from && at < to) ends.push_back(at - from);
  }
  ends.push_back(to - from);

  std::vector<Values> rest;
  for (const TintProfile& strip : strips) rest.push_back(excess_ink(strip, from, to));
  Periodogram periodogram(length);
  std::size_t count = 0;
  for (int round = 0; round < options.rounds; ++round) {
    const Values powers = periodogram.powers(mean_of(rest), kClip);
    const auto lines = lines_of(powers, first, length / 2 - own, options);
    Values turns;
    for (const std::size_t line : lines)
      turns.push_back(static_cast<double>(line) / static_cast<double>(length));
    if (turns.empty()) break;
    count += turns.size();
    take_out(turns, ends, reach, rest);
  }
  if (count == 0) return 0;
  for (std::size_t s = 0; s < strips.size(); ++s) {
    const Values ink = excess_ink(strips[s], from, to);
    for (std::size_t i = 0; i < ink.size(); ++i) {
      float& value = strips[s].values[from + i];
      const double fringes = ink[i] - rest[s][i];
      value = static_cast<float>(1 - (1 - static_cast<double>(value)) / std::max(kLeastInk, 1 + fringes));
    }
  }
  return static_cast<int>(count);
}

}  // namespace scrapetrace::profile
