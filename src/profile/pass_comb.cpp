#include "profile/pass_comb.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <numeric>
#include <optional>

#include "base/robust.h"
#include "profile/sampling.h"

namespace scrapetrace::profile {

namespace {

constexpr double kLeastTaken = 0.02;    // of the paper's light, to tell a share of it
constexpr double kLeastKept = 0.1;      // of its level, that a comb can leave
constexpr double kClipComb = 4;         // robust standard deviations: a streak is not to be heard
constexpr double kMostScale = 2;        // of one ink's comb over the others' mean
constexpr double kLeastSigma = 1e-6;    // of a share: no scan is more even
constexpr double kMostStretch = 0.005;  // of a sheet, beside its place
constexpr double kMedianCost = 1.2533;  // standard deviation of a median over that of a mean: sqrt(pi / 2)

// What the ink takes of the light over what its level takes, less 1: the mean of all strips.
struct Taken {
  std::size_t from = 0;
  std::vector<double> excess;
  std::size_t widest_from = 0;  // of any strip
  std::size_t widest_to = 0;
  double level = 0;  // light of the ink over the paper's

  [[nodiscard]] double first() const { return static_cast<double>(from) + 1; }
  [[nodiscard]] double last() const { return static_cast<double>(from + excess.size()) - 3; }
  // Between samples, first() <= at <= last().
  [[nodiscard]] double at(double sample) const {
    const double whole = std::floor(sample);
    const auto taps = cubic_taps(sample - whole);
    const auto i = static_cast<std::size_t>(whole) - from;
    return taps[0] * excess[i - 1] + taps[1] * excess[i] + taps[2] * excess[i + 1] + taps[3] * excess[i + 2];
  }
};

Taken taken_by(const std::vector<TintProfile>& strips) {
  Taken out;
  std::size_t to = strips.front().to;
  out.widest_from = strips.front().from;
  for (const TintProfile& strip : strips) {
    out.from = std::max(out.from, strip.from);
    to = std::min(to, strip.to);
    out.widest_from = std::min(out.widest_from, strip.from);
    out.widest_to = std::max(out.widest_to, strip.to);
  }
  if (to <= out.from) return out;
  out.excess.assign(to - out.from, 0.0);
  const auto count = static_cast<double>(strips.size());
  for (const TintProfile& strip : strips) {
    for (std::size_t i = out.from; i < to; ++i) {
      const double level = 1 - static_cast<double>(strip.base[i]);
      const double excess = (1 - static_cast<double>(strip.values[i])) / level - 1;
      if (level >= kLeastTaken && std::isfinite(excess)) out.excess[i - out.from] += excess / count;
    }
    out.level += static_cast<double>(strip.base[(out.from + to) / 2]) / count;
  }
  return out;
}

// One period's worth of values, whatever they stand for: medians over [from, to) at each phase.
struct Folded {
  std::vector<double> median;
  double sigma = 0;  // of a value about its median
  int periods = 0;
};

Folded folded(const Taken& taken, double from, double to, double pitch) {
  Folded out;
  const auto phases = static_cast<std::size_t>(std::ceil(pitch));
  std::vector<double> rest;
  for (std::size_t k = 0; k < phases; ++k) {
    std::vector<double> values;
    const double first = from + pitch * static_cast<double>(k) / static_cast<double>(phases);
    for (int m = 0; first + m * pitch < to; ++m) values.push_back(taken.at(first + m * pitch));
    out.median.push_back(median(values));
    out.periods = static_cast<int>(values.size());
    for (const double value : values) rest.push_back(value - out.median.back());
  }
  out.sigma = robust_sigma(rest, 0);
  return out;
}

// A bare column, blurred, at `distance` samples from its middle: light that is not taken.
double bare_column(double distance, const PassCombOptions& options) {
  const double reach = std::sqrt(2.0) * options.blur;
  return 0.5 * (std::erf((distance + options.column / 2) / reach) -
                std::erf((distance - options.column / 2) / reach));
}

// The share of one column's ink that is gone once a period, wherever that column lies, and by how many
// standard deviations it stands out.
struct Share {
  double gone = 0;
  double z = 0;
};

Share share_gone(const Folded& fold, const PassCombOptions& options) {
  constexpr std::size_t kSteps = 4;  // places tried between two phases
  const std::size_t phases = fold.median.size();
  const std::size_t places = kSteps * phases;
  std::vector<double> bare(places);  // by distance
  for (std::size_t k = 0; k < places; ++k) {
    const double away = options.pitch * static_cast<double>(k) / static_cast<double>(places);
    bare[k] = -bare_column(std::min(away, options.pitch - away), options);
  }
  const double sigma = kMedianCost * fold.sigma / std::sqrt(std::max(1, fold.periods));
  Share best;
  for (std::size_t place = 0; place < places; ++place) {
    const auto shape = [&](std::size_t k) { return bare[(kSteps * k + places - place) % places]; };
    double mean = 0;
    for (std::size_t k = 0; k < phases; ++k) mean += shape(k) / static_cast<double>(phases);
    double square = 0;
    double both = 0;
    for (std::size_t k = 0; k < phases; ++k) {
      square += (shape(k) - mean) * (shape(k) - mean);
      both += (shape(k) - mean) * fold.median[k];
    }
    if (square <= 0 || both / square <= best.gone) continue;
    best = {both / square, both / std::sqrt(square) / std::max(sigma, kLeastSigma)};
  }
  return best;
}

// Shares of a head's windows of so many periods.
std::vector<Share> shares_of(const Taken& taken, const HeadSpan& head, const PassCombOptions& options) {
  std::vector<Share> out;
  const double from = std::max(head.from + options.column, taken.first());
  const double to = std::min(head.to - options.column, taken.last());
  const double periods = (to - from) / options.pitch;
  if (periods < options.fewest) return out;
  const int windows = std::max(1, static_cast<int>(periods / options.periods));
  for (int w = 0; w < windows; ++w) {
    const double a = from + (to - from) * w / windows;
    const double b = from + (to - from) * (w + 1) / windows;
    out.push_back(share_gone(folded(taken, a, b, options.pitch), options));
  }
  return out;
}

// Size, with its phase, of what repeats once a pitch in [from, to), whole periods of it.
std::complex<double> first_harmonic(const Taken& taken, double from, double to, double pitch) {
  const auto inside = [&](double at) { return static_cast<std::size_t>(std::ceil(at)) - taken.from; };
  const std::vector<double> values(taken.excess.begin() + static_cast<std::ptrdiff_t>(inside(from)),
                                   taken.excess.begin() + static_cast<std::ptrdiff_t>(inside(to)));
  const double centre = median(values);
  const double sigma = robust_sigma(values, centre);
  std::complex<double> sum = 0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double held = std::clamp(values[i] - centre, -kClipComb * sigma, kClipComb * sigma);
    sum += held * std::polar(1.0, -2 * std::numbers::pi * static_cast<double>(i + inside(from)) / pitch);
  }
  return sum;
}

// A head's pitch as its own comb shows it: sheets stretch, and a print's sides do not tell its scale well.
double pitch_shown(const std::vector<Taken>& groups, const HeadSpan& head, const PassCombOptions& options) {
  std::complex<double> turned = 0;
  double length = 0;
  for (const Taken& taken : groups) {
    const double from = std::max(head.from + options.column, taken.first());
    const double to = std::min(head.to - options.column, taken.last());
    const double half = std::floor((to - from) / options.pitch / 2) * options.pitch;
    if (2 * half < options.fewest * options.pitch) continue;
    turned += first_harmonic(taken, from + half, from + 2 * half, options.pitch) *
              std::conj(first_harmonic(taken, from, from + half, options.pitch));
    length = std::max(length, half);
  }
  if (length == 0) return options.pitch;
  // A comb of a longer pitch turns backwards against this one's.
  const double turns = -std::arg(turned) / (2 * std::numbers::pi);
  const double stretch = std::clamp(turns * options.pitch / length, -kMostStretch, kMostStretch);
  return options.pitch * (1 + stretch);
}

// Medians over the periods around each sample [first, first + count), as far as [from, to) reaches.
std::vector<double> medians_around(const Taken& taken, double from, double to, std::size_t first,
                                   std::size_t count, const PassCombOptions& options) {
  std::vector<double> out(count);
  std::vector<double> values;
  const int half = options.periods / 2;
  for (std::size_t i = 0; i < count; ++i) {
    const double at = static_cast<double>(first + i);
    const int below = static_cast<int>(std::floor((at - from) / options.pitch));
    const int above = static_cast<int>(std::floor((to - at) / options.pitch));
    const int low = std::min(below, half + std::max(0, half - above));
    const int high = std::min(above, half + std::max(0, half - below));
    values.clear();
    for (int m = -low; m <= high; ++m) values.push_back(taken.at(at + m * options.pitch));
    out[i] = median(values);
  }
  return out;
}

// The comb in a head's samples. Interpolated values lose part of what is fine: it is found in the next round.
std::vector<double> comb_of(Taken rest, double from, double to, std::size_t first, std::size_t count,
                            const PassCombOptions& options) {
  constexpr int kRounds = 4;
  std::vector<double> out(count, 0.0);
  for (int round = 0; round < kRounds; ++round) {
    const auto more = medians_around(rest, from, to, first, count, options);
    for (std::size_t i = 0; i < count; ++i) {
      out[i] += more[i];
      const std::size_t at = first + i;
      if (at >= rest.from && at < rest.from + rest.excess.size()) rest.excess[at - rest.from] -= more[i];
    }
  }
  return out;
}

// Mean over one period around each value.
std::vector<double> period_means(const std::vector<double>& values, double pitch) {
  std::vector<double> sums(values.size() + 1, 0.0);
  std::partial_sum(values.begin(), values.end(), sums.begin() + 1);
  // Up to any place between values.
  const auto up_to = [&](double place) {
    const auto whole = std::min(static_cast<std::size_t>(place), values.size() - 1);
    return sums[whole] + (place - static_cast<double>(whole)) * values[whole];
  };
  std::vector<double> out(values.size());
  const double end = static_cast<double>(values.size());
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double a = std::clamp(static_cast<double>(i) + 0.5 - pitch / 2, 0.0, end - pitch);
    out[i] = (up_to(a + pitch) - up_to(a)) / pitch;
  }
  return out;
}

// What the comb makes of the ink's light in the samples [first, first + gain.size()).
struct Gain {
  std::size_t first = 0;
  std::vector<double> gain;
};

std::optional<Gain> gain_of(const Taken& taken, const HeadSpan& head, double share,
                            const PassCombOptions& options) {
  const double from = std::max(head.from, taken.first());
  const double to = std::min(head.to, taken.last());
  if (taken.excess.empty() || to - from < options.fewest * options.pitch) return std::nullopt;
  Gain out;
  // Beyond the ends that all strips show, too.
  out.first = std::max(taken.widest_from, static_cast<std::size_t>(std::ceil(std::max(0.0, head.from))));
  const auto end = std::min(taken.widest_to, static_cast<std::size_t>(std::ceil(std::max(0.0, head.to))));
  const std::size_t count = end - out.first;
  out.gain = comb_of(taken, from, to, out.first, count, options);
  // What changes over more than a period is no comb's: only what a column less in each takes of the mean,
  // while another one is printed twice.
  const auto means = period_means(period_means(out.gain, options.pitch), options.pitch);
  const double less = share * options.column / options.pitch * (1 - taken.level);
  for (std::size_t i = 0; i < count; ++i) out.gain[i] = (1 + out.gain[i]) / (1 + means[i]) * (1 - less);
  return out;
}

void divide(const Gain& gain, const std::vector<TintProfile>& strips) {
  for (const TintProfile& strip : strips) {
    for (std::size_t i = 0; i < gain.gain.size(); ++i) {
      const std::size_t at = gain.first + i;
      if (at < strip.from || at >= strip.to) continue;
      const double value = strip.values[at];
      strip.values[at] = static_cast<float>(1 - (1 - value) / std::max(kLeastKept, gain.gain[i]));
    }
  }
}

double median_share(const std::vector<Share>& shares) {
  std::vector<double> gone;
  for (const Share& share : shares) gone.push_back(share.gone);
  return median(gone);
}

// Mean of gains over samples that any of them has.
Gain mean_gain(const std::vector<std::optional<Gain>>& gains) {
  std::size_t first = SIZE_MAX, end = 0;
  for (const auto& gain : gains) {
    if (gain) first = std::min(first, gain->first), end = std::max(end, gain->first + gain->gain.size());
  }
  if (end == 0) return {};
  Gain out{first, std::vector<double>(end - first, 0.0)};
  std::vector<double> count(end - first, 0.0);
  for (const auto& gain : gains) {
    for (std::size_t i = 0; gain && i < gain->gain.size(); ++i) {
      out.gain[gain->first + i - first] += gain->gain[i];
      count[gain->first + i - first] += 1;
    }
  }
  for (std::size_t i = 0; i < count.size(); ++i) out.gain[i] = count[i] > 0 ? out.gain[i] / count[i] : 1;
  return out;
}

// A gain as much larger or smaller as a patch too narrow for a comb of its own shows by least squares.
Gain as_shown(const Gain& gain, const Taken& taken) {
  double square = 0, both = 0;
  const std::size_t from = std::max(gain.first, taken.from);
  const std::size_t to = std::min(gain.first + gain.gain.size(), taken.from + taken.excess.size());
  for (std::size_t i = from; i < to; ++i) {
    const double comb = gain.gain[i - gain.first] - 1;
    square += comb * comb;
    both += comb * taken.excess[i - taken.from];
  }
  Gain out = gain;
  const double size = square > 0 ? std::clamp(both / square, 0.0, kMostScale) : 0;
  for (double& value : out.gain) value = 1 + size * (value - 1);
  return out;
}

// What each group shows of one carriage's heads.
using Shares = std::vector<std::vector<Share>>;

Shares shares_of_carriage(const std::vector<Taken>& taken, std::span<const HeadSpan> heads,
                          std::size_t carriage, const PassCombOptions& options) {
  Shares out(taken.size());
  for (std::size_t g = 0; g < taken.size(); ++g) {
    for (const HeadSpan& head : heads) {
      if (head.carriage != carriage) continue;
      for (const Share& share : shares_of(taken[g], head, options)) out[g].push_back(share);
    }
  }
  return out;
}

bool shows_comb(const Shares& shares, const PassCombOptions& options) {
  int seen = 0, shown = 0;
  for (const auto& group : shares) {
    for (const Share& share : group) {
      ++seen;
      if (share.gone >= options.least_share && share.z >= options.stands_out) ++shown;
    }
  }
  return seen > 0 && shown >= options.least_heads * seen;
}

// Takes the comb of one head out of all groups.
void even_out(std::span<const std::vector<TintProfile>> groups, const std::vector<Taken>& taken,
              const Shares& shares, const HeadSpan& head, PassCombOptions options) {
  options.pitch = pitch_shown(taken, head, options);
  std::vector<std::optional<Gain>> gains;
  for (std::size_t g = 0; g < groups.size(); ++g) {
    gains.push_back(shares[g].empty() ? std::nullopt
                                      : gain_of(taken[g], head, median_share(shares[g]), options));
  }
  const Gain mean = mean_gain(gains);
  for (std::size_t g = 0; g < groups.size(); ++g)
    divide(gains[g] ? *gains[g] : as_shown(mean, taken[g]), groups[g]);
}

}  // namespace

std::vector<bool> take_out_pass_combs(std::span<const std::vector<TintProfile>> groups,
                                      std::span<const HeadSpan> heads, std::size_t carriages,
                                      const PassCombOptions& options) {
  std::vector<Taken> taken;
  for (const auto& group : groups) taken.push_back(taken_by(group));
  std::vector<bool> out(carriages, false);
  for (std::size_t carriage = 0; carriage < carriages; ++carriage) {
    const Shares shares = shares_of_carriage(taken, heads, carriage, options);
    out[carriage] = shows_comb(shares, options);
    for (const HeadSpan& head : heads) {
      if (out[carriage] && head.carriage == carriage) even_out(groups, taken, shares, head, options);
    }
  }
  return out;
}

}  // namespace scrapetrace::profile
