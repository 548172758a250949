#include "quality/profile_issues.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <numeric>
#include <string>

#include "base/parallel.h"
#include "profile/spectrum.h"

namespace scrapetrace::quality {

namespace {

constexpr double kShortest_mm = 0.4;
constexpr double kLongest_mm = 12.0;
constexpr double kClip = 4;              // robust standard deviations: suppresses streaks
constexpr double kPeriodStandsOut = 15;  // relative to the median power nearby
constexpr double kNotOfJets = 0.3;       // of the jets' mean power; grain and mottle have less everywhere
constexpr double kLeastShare = 0.3;      // of the grid that a view must cover
constexpr double kSample_mm = 0.1;       // fine enough for the shortest fringe
constexpr std::size_t kPart = 8;         // views per transform

// Means of so many samples that they are about 0.1 mm apart.
std::vector<double> thinned(const std::vector<float>& loss, int from, int to, int every) {
  std::vector<double> out;
  for (int i = from; i + every <= to; i += every)
    out.push_back(std::accumulate(loss.begin() + i, loss.begin() + i + every, 0.0) / every);
  return out;
}

using Power = std::vector<double>;

// Power spectrum of a view's losses on the common grid. Empty when the view covers too little of it, and for
// tints, whose fringes are already removed (profile/fringes.h).
Power powers_of(const profile::Strips& strips, const profile::InkView& view, int every,
                profile::Periodogram& periodogram) {
  if (view.coverage < 1) return {};
  const auto& strip = strips.strips[view.strip];
  std::vector<double> seen = thinned(view.loss, strip.from, strip.to, every);
  const std::size_t all = view.loss.size() / static_cast<std::size_t>(every);
  if (static_cast<double>(seen.size()) < kLeastShare * static_cast<double>(all)) return {};
  return periodogram.powers(std::move(seen), kClip);
}

Power sum_of_powers(const profile::Strips& strips, const std::vector<profile::InkView>& views, int every,
                    int threads) {
  std::vector<Power> powers(views.size());
  for_each_stretch(views.size(), kPart, threads, [&](std::size_t from, std::size_t to) {
    const auto all = static_cast<std::size_t>(strips.grid.size) / static_cast<std::size_t>(every);
    profile::Periodogram periodogram(profile::quick_length(all));
    for (std::size_t v = from; v < to; ++v) powers[v] = powers_of(strips, views[v], every, periodogram);
  });
  Power sum;
  for (const Power& power : powers) {
    sum.resize(std::max(sum.size(), power.size()), 0.0);
    for (std::size_t k = 0; k < power.size(); ++k) sum[k] += power[k];
  }
  return sum;
}

// Power at a period of a jet's columns, relative to as many random columns.
double comb_power(const Layout& layout, double period_mm) {
  std::complex<double> sum = 0;
  for (const int shift : layout.interleave.shift_px)
    sum += std::polar(1.0, 2 * std::numbers::pi * shift * layout.px_mm() / period_mm);
  return std::norm(sum) / std::max<double>(1, static_cast<double>(layout.interleave.shift_px.size()));
}

}  // namespace

std::optional<double> moire_period_mm(const profile::Strips& strips,
                                      const std::vector<profile::InkView>& views, const Layout& layout,
                                      int threads) {
  const int every = std::max(1, static_cast<int>(kSample_mm / strips.grid.pitch_mm));
  Power power = sum_of_powers(strips, views, every, threads);
  if (power.empty()) return std::nullopt;
  const double length_mm = 2 * static_cast<double>(power.size()) * every * strips.grid.pitch_mm;
  for (std::size_t k = 1; k < power.size(); ++k)
    power[k] /= kNotOfJets + comb_power(layout, length_mm / static_cast<double>(k));
  const auto first = static_cast<std::ptrdiff_t>(std::ceil(length_mm / kLongest_mm));
  const auto last = std::min(static_cast<std::ptrdiff_t>(length_mm / kShortest_mm),
                             static_cast<std::ptrdiff_t>(power.size()) - 1);
  std::optional<double> period;
  double most = kPeriodStandsOut;
  for (std::ptrdiff_t k = first; k <= last; ++k) {
    const double nearby = profile::median_nearby(power, k);
    const double ratio = nearby > 0 ? power[static_cast<std::size_t>(k)] / nearby : 0;
    if (ratio > most) most = ratio, period = length_mm / static_cast<double>(k);
  }
  return period;
}

std::vector<Issue> profile_issues(const profile::Strips& strips, const std::vector<profile::InkView>& views,
                                  const Layout& layout, int threads) {
  const auto period = moire_period_mm(strips, views, layout, threads);
  if (!period) return {};
  const auto tenths = std::lround(10 * *period);
  return {{ScanIssue::moire, "a regular fringe runs across the scan every " + std::to_string(tenths / 10) +
                                 "." + std::to_string(tenths % 10) +
                                 " mm, as moire between the print's screen and the scanner: scan at another "
                                 "resolution, better 600 dpi, or lay the sheet a few degrees askew"}};
}

}  // namespace scrapetrace::quality
