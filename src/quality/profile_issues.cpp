#include "quality/profile_issues.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <string>
#include <unsupported/Eigen/FFT>

#include "base/robust.h"

namespace scrapetrace::quality {

namespace {

constexpr double kShortest_mm = 0.4;
constexpr double kLongest_mm = 12.0;
constexpr double kClip = 4;              // robust standard deviations: a streak is not to be heard
constexpr double kPeriodStandsOut = 15;  // over the median power nearby
constexpr std::ptrdiff_t kNearby = 40;
constexpr std::ptrdiff_t kOwn = 3;   // lines of the spectrum that a fringe takes up itself
constexpr double kLeastShare = 0.3;  // of the grid that a view must show

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

// Power of a view's loss over the whole grid, so that all views share the same lines.
void add_power(const profile::Strips& strips, const profile::InkView& view, Eigen::FFT<double>& transform,
               std::vector<double>& power) {
  const auto& strip = strips.strips[view.strip];
  std::vector<double> seen(view.loss.begin() + strip.from, view.loss.begin() + strip.to);
  const double centre = median(seen);
  const double sigma = robust_sigma(seen, centre);
  if (sigma <= 0 || static_cast<double>(seen.size()) < kLeastShare * static_cast<double>(view.loss.size()))
    return;
  std::vector<double> values(quick_length(view.loss.size()), 0.0);
  const double n = static_cast<double>(seen.size());
  for (std::size_t k = 0; k < seen.size(); ++k) {
    // Hann's window keeps a fringe on its own lines.
    const double window = 0.5 - 0.5 * std::cos(2 * std::acos(-1.0) * (static_cast<double>(k) + 0.5) / n);
    values[static_cast<std::size_t>(strip.from) + k] =
        window * std::clamp((seen[k] - centre) / sigma, -kClip, kClip);
  }
  std::vector<std::complex<double>> spectrum;
  transform.fwd(spectrum, values);
  power.resize(values.size() / 2, 0.0);
  for (std::size_t k = 0; k < power.size(); ++k) power[k] += std::norm(spectrum[k]);
}

double median_nearby(const std::vector<double>& power, std::ptrdiff_t at) {
  std::vector<double> values;
  for (std::ptrdiff_t k = at - kNearby; k <= at + kNearby; ++k) {
    if (k > 0 && k < static_cast<std::ptrdiff_t>(power.size()) && std::abs(k - at) > kOwn)
      values.push_back(power[static_cast<std::size_t>(k)]);
  }
  return values.empty() ? 0 : median(std::move(values));
}

}  // namespace

std::optional<double> moire_period_mm(const profile::Strips& strips,
                                      const std::vector<profile::InkView>& views) {
  std::vector<double> power;
  Eigen::FFT<double> transform;
  for (const auto& view : views) add_power(strips, view, transform, power);
  if (power.empty()) return std::nullopt;
  const double length_mm = 2 * static_cast<double>(power.size()) * strips.grid.pitch_mm;
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

std::vector<Issue> profile_issues(const profile::Strips& strips, const std::vector<profile::InkView>& views) {
  const auto period = moire_period_mm(strips, views);
  if (!period) return {};
  const auto tenths = std::lround(10 * *period);
  return {{ScanIssue::moire, "a regular fringe runs across the scan every " + std::to_string(tenths / 10) +
                                 "." + std::to_string(tenths % 10) +
                                 " mm, as moire between the print's screen and the scanner: scan at another "
                                 "resolution, better 600 dpi, or lay the sheet a few degrees askew"}};
}

}  // namespace scrapetrace::quality
