#include "profile/pass_comb.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>
#include <cstdlib>
#include <cstdio>

#include "base/robust.h"
#include "profile/sampling.h"

namespace scrapetrace::profile {

namespace {

constexpr double kLeastTaken = 0.02;  // of the paper's light, to tell a share of it
constexpr double kLeastKept = 0.1;    // of its level, that a comb can leave
constexpr double kMedianCost = 1.2533;  // standard deviation of a median over that of a mean: sqrt(pi / 2)

// What the ink takes of the light over what its level takes, less 1: the mean of all strips.
struct Taken {
  std::size_t from = 0;
  std::vector<double> excess;
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
  for (const TintProfile& strip : strips) out.from = std::max(out.from, strip.from), to = std::min(to, strip.to);
  if (to <= out.from) return out;
  out.excess.assign(to - out.from, 0.0);
  const auto count = static_cast<double>(strips.size());
  for (const TintProfile& strip : strips) {
    for (std::size_t i = out.from; i < to; ++i) {
      const double level = 1 - static_cast<double>(strip.base[i]);
      if (level < kLeastTaken) continue;
      out.excess[i - out.from] += ((1 - static_cast<double>(strip.values[i])) / level - 1) / count;
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
  constexpr int kSteps = 4;  // places tried in a sample
  const std::size_t phases = fold.median.size();
  const double step = options.pitch / static_cast<double>(phases);
  Share best;
  for (std::size_t place = 0; place < kSteps * phases; ++place) {
    std::vector<double> shape(phases);
    for (std::size_t k = 0; k < phases; ++k) {
      double away = step * (static_cast<double>(k) - static_cast<double>(place) / kSteps);
      away -= options.pitch * std::round(away / options.pitch);
      shape[k] = -bare_column(away, options);
    }
    const double mean = std::accumulate(shape.begin(), shape.end(), 0.0) / static_cast<double>(phases);
    double square = 0, both = 0;
    for (std::size_t k = 0; k < phases; ++k) {
      square += (shape[k] - mean) * (shape[k] - mean);
      both += (shape[k] - mean) * fold.median[k];
    }
    const double sigma = kMedianCost * fold.sigma / std::sqrt(fold.periods);
    const double gone = both / square;
    if (gone > best.gone) best = {gone, gone * std::sqrt(square) / std::max(sigma, 1e-9)};
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

// Medians over the periods around each sample of a head, as far as the head reaches.
std::vector<double> comb_around(const Taken& taken, double from, double to, std::size_t first,
                                std::size_t count, const PassCombOptions& options) {
  std::vector<double> out(count);
  std::vector<double> values;
  for (std::size_t i = 0; i < count; ++i) {
    const double at = static_cast<double>(first + i);
    const int below = static_cast<int>(std::floor((at - from) / options.pitch));
    const int above = static_cast<int>(std::floor((to - at) / options.pitch));
    const int half = options.periods / 2;
    const int low = std::min(below, half + std::max(0, half - above));
    const int high = std::min(above, half + std::max(0, half - below));
    values.clear();
    for (int m = -low; m <= high; ++m) values.push_back(taken.at(at + m * options.pitch));
    out[i] = median(values);
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
  if (to - from < options.fewest * options.pitch) return std::nullopt;
  Gain out;
  out.first = static_cast<std::size_t>(std::ceil(from));
  const auto count = static_cast<std::size_t>(std::floor(to)) - out.first + 1;
  out.gain = comb_around(taken, from, to, out.first, count, options);
  // What changes over more than a period is no comb's: only what a column less in each takes of the mean,
  // while another one is printed twice.
  const auto means = period_means(out.gain, options.pitch);
  const double less = share * options.column / options.pitch * (1 - taken.level);
  for (std::size_t i = 0; i < count; ++i) out.gain[i] = 1 + out.gain[i] - means[i] - less;
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

}  // namespace

std::vector<bool> take_out_pass_combs(std::span<const std::vector<TintProfile>> groups,
                                      std::span<const HeadSpan> heads, std::size_t carriages,
                                      const PassCombOptions& options) {
  std::vector<Taken> taken;
  for (const auto& group : groups) taken.push_back(taken_by(group));
  std::vector<bool> out(carriages, false);
  for (std::size_t carriage = 0; carriage < carriages; ++carriage) {
    std::vector<std::vector<Share>> shares(groups.size());
    int seen = 0, shown = 0;
    for (std::size_t g = 0; g < groups.size(); ++g) {
      for (const HeadSpan& head : heads) {
        if (head.carriage != carriage) continue;
        for (const Share& share : shares_of(taken[g], head, options)) {
          ++seen;
          if (share.gone >= options.least_share && share.z >= options.stands_out) ++shown;
          shares[g].push_back(share);
          if (getenv("PASSDBG")) fprintf(stderr, "carriage %zu group %zu head %.0f..%.0f gone %.3f z %.1f\n", carriage, g, head.from, head.to, share.gone, share.z);
        }
      }
    }
    if (seen == 0 || shown < options.most_heads * seen) continue;
    out[carriage] = true;
    for (std::size_t g = 0; g < groups.size(); ++g) {
      for (const HeadSpan& head : heads) {
        if (head.carriage != carriage || shares[g].empty()) continue;
        if (const auto gain = gain_of(taken[g], head, median_share(shares[g]), options)) divide(*gain, groups[g]);
      }
    }
  }
  return out;
}

}  // namespace scrapetrace::profile
