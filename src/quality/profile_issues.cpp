#include "quality/profile_issues.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <numeric>
#include <string>
#include <unsupported/Eigen/FFT>

#include "base/parallel.h"
#include "base/robust.h"

namespace scrapetrace::quality {

namespace {

constexpr double kShortest_mm = 0.4;
constexpr double kLongest_mm = 12.0;
constexpr double kClip = 4;              // robust standard deviations: a streak is not to be heard
constexpr double kPeriodStandsOut = 15;  // over the median power nearby
constexpr std::ptrdiff_t kNearby = 40;
constexpr std::ptrdiff_t kNearest = 8;
constexpr double kNotOfJets = 0.3;   // of the jets' mean power: what grain and mottle have everywhere
constexpr std::ptrdiff_t kOwn = 3;   // lines of the spectrum that a fringe takes up itself
constexpr double kLeastShare = 0.3;  // of the grid that a view must show
constexpr double kSample_mm = 0.1;   // fine enough for the shortest fringe
constexpr std::size_t kPart = 8;     // views that one transform takes in turn

// The next number that only 2, 3 and 5 divide, and 4 does: transforms of others take many times as long.
std::size_t quick_length(std::size_t n) {
  for (n += (4 - n % 4) % 4;; n += 4) {
    std::size_t rest = n;
    for (const std::size_t factor : {2U, 3U, 5U}) {
      while (rest % factor == 0) rest /= factor;
    }
    if (rest == 1) return n;
  }
}

// Hann's window, which keeps a fringe on its own lines.
std::vector<double> window_of(std::size_t length) {
  std::vector<double> out(length);
  const double step = 2 * std::numbers::pi / static_cast<double>(length);
  for (std::size_t k = 0; k < length; ++k)
    out[k] = 0.5 - 0.5 * std::cos(step * (static_cast<double>(k) + 0.5));
  return out;
}

// Means of so many samples that they lie a tenth of a millimetre apart, about.
std::vector<double> thinned(const std::vector<float>& loss, int from, int to, int every) {
  std::vector<double> out;
  for (int i = from; i + every <= to; i += every)
    out.push_back(std::accumulate(loss.begin() + i, loss.begin() + i + every, 0.0) / every);
  return out;
}

using Power = std::vector<double>;

// Powers of views' losses over the whole grid, so that all views share the same lines; empty where a view
// shows too little of it.
class Spectra {
 public:
  Spectra(const profile::Strips& strips, int every) : strips_(strips), every_(every) {}

  Power of(const profile::InkView& view) {
    const auto& strip = strips_.strips[view.strip];
    const std::vector<double> seen = thinned(view.loss, strip.from, strip.to, every_);
    const std::size_t all = view.loss.size() / static_cast<std::size_t>(every_);
    const double centre = median(seen);
    const double sigma = robust_sigma(seen, centre);
    if (sigma <= 0 || static_cast<double>(seen.size()) < kLeastShare * static_cast<double>(all)) return {};
    if (window_.size() != seen.size()) window_ = window_of(seen.size());
    std::vector<double> values(quick_length(all), 0.0);
    // Where on the lines it begins tells nothing about their power.
    for (std::size_t k = 0; k < seen.size(); ++k)
      values[k] = window_[k] * std::clamp((seen[k] - centre) / sigma, -kClip, kClip);
    transform_.fwd(spectrum_, values);
    Power power(values.size() / 2);
    for (std::size_t k = 0; k < power.size(); ++k) power[k] = std::norm(spectrum_[k]);
    return power;
  }

 private:
  const profile::Strips& strips_;
  int every_;
  std::vector<double> window_;
  Eigen::FFT<double> transform_;
  std::vector<std::complex<double>> spectrum_;
};

Power sum_of_powers(const profile::Strips& strips, const std::vector<profile::InkView>& views, int every,
                    int threads) {
  std::vector<Power> powers(views.size());
  for_each_part((views.size() + kPart - 1) / kPart, threads, [&](std::size_t part) {
    Spectra spectra(strips, every);
    for (std::size_t v = part * kPart; v < std::min(views.size(), (part + 1) * kPart); ++v)
      powers[v] = spectra.of(views[v]);
  });
  Power sum;
  for (const Power& power : powers) {
    sum.resize(std::max(sum.size(), power.size()), 0.0);
    for (std::size_t k = 0; k < power.size(); ++k) sum[k] += power[k];
  }
  return sum;
}

// Mottle has more power the longer it is: long periods are held against those half as long to half as long
// again.
double median_nearby(const std::vector<double>& power, std::ptrdiff_t at) {
  std::vector<double> values;
  const std::ptrdiff_t reach = std::clamp(at / 2, kNearest, kNearby);
  for (std::ptrdiff_t k = at - reach; k <= at + reach; ++k) {
    if (k > 0 && k < static_cast<std::ptrdiff_t>(power.size()) && std::abs(k - at) > kOwn)
      values.push_back(power[static_cast<std::size_t>(k)]);
  }
  return values.empty() ? 0 : median(std::move(values));
}

// Power of a jet's columns at a period against that of as many columns strewn at random.
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
    const double nearby = median_nearby(power, k);
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
