#include "likelihood/strip_noise.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <map>
#include <numbers>
#include <optional>

#include "base/parallel.h"
#include "base/robust.h"

namespace scrapetrace::diagnose {

namespace {

using profile::InkView;

constexpr std::size_t kFewest = 50;  // samples to compare
constexpr double kLeastSlow = 0.01;  // of all variance: less has no length
constexpr std::array kLags_mm{0.7, 1.2, 2.0, 3.0, 5.0, 8.0};
constexpr double kShortest_mm = 0.7;
constexpr double kLongest_mm = 11.3;

// Differences of strips that follow one another, each over all samples that both show.
class Differences {
 public:
  Differences(const profile::PreparedScan& scan, const std::vector<const InkView*>& views) {
    for (std::size_t k = 0; k + 1 < views.size(); ++k) {
      const auto& a = scan.strips.strips[views[k]->strip];
      const auto& b = scan.strips.strips[views[k + 1]->strip];
      auto& pair = pairs_.emplace_back();
      for (int i = std::max(a.from, b.from); i < std::min(a.to, b.to); ++i) {
        const auto s = static_cast<std::size_t>(i);
        pair.push_back(static_cast<double>(views[k]->loss[s]) - static_cast<double>(views[k + 1]->loss[s]));
      }
    }
  }

  // Variance of one strip's own noise, from every third sample; 0 from too few.
  [[nodiscard]] double variance() const {
    std::vector<double> values;
    for (const auto& pair : pairs_) {
      for (std::size_t i = 0; i < pair.size(); i += 3) values.push_back(pair[i]);
    }
    return values.size() < kFewest ? 0 : 0.5 * std::pow(robust_sigma(values, 0), 2);
  }

  // C(0) - C(lag) of the covariance C of one strip's own noise; 0 from too few.
  [[nodiscard]] double change_over(std::size_t lag) const {
    std::vector<double> changes;
    for (const auto& pair : pairs_) {
      for (std::size_t i = 0; i + lag < pair.size(); i += 3) changes.push_back(pair[i] - pair[i + lag]);
    }
    return changes.size() < kFewest ? 0 : 0.25 * std::pow(robust_sigma(changes, 0), 2);
  }

 private:
  std::vector<std::vector<double>> pairs_;
};

// What an ink's strips change by over lags, less what changes from sample to sample.
struct Changes {
  std::vector<double> lag_mm;
  std::vector<double> change;
};

Changes changes_of(const Differences& differences, double pitch_mm, double fine_variance) {
  Changes out;
  for (const double lag_mm : kLags_mm) {
    const auto lag = static_cast<std::size_t>(std::max(4L, std::lround(lag_mm / pitch_mm)));
    const double change = differences.change_over(lag);
    if (change <= 0) continue;
    out.lag_mm.push_back(static_cast<double>(lag) * pitch_mm);
    out.change.push_back(change - fine_variance);
  }
  return out;
}

struct Fitted {
  double variance = 0;
  double left = 0;  // sum of squares
};

// The variance for which variance (1 - exp(-d^2 / (2 length^2))) follows the changes over lags d best (least
// squares). A baseline takes what is slow out of the strips' values and leaves their changes over a few
// millimetres alone.
Fitted fit_variance(const Changes& changes, double length_mm) {
  double along = 0;
  double square = 0;
  double total = 0;
  for (std::size_t k = 0; k < changes.change.size(); ++k) {
    const double part = 1 - std::exp(-0.5 * changes.lag_mm[k] * changes.lag_mm[k] / (length_mm * length_mm));
    along += part * changes.change[k];
    square += part * part;
    total += changes.change[k] * changes.change[k];
  }
  if (square <= 0 || along <= 0) return {0, total};
  return {along / square, total - along * along / square};
}

double common_length(const std::map<int, Changes>& inks) {
  double best = 3;
  double least = 1e300;
  for (double length = kShortest_mm; length <= kLongest_mm; length *= std::sqrt(std::numbers::sqrt2)) {
    double left = 0;
    for (const auto& [ink, changes] : inks) left += fit_variance(changes, length).left;
    if (left < least) least = left, best = length;
  }
  return best;
}

// Second integral of exp(-t^2 / (2 length^2)).
double second_integral(double t, double length) {
  const double first =
      length * std::sqrt(0.5 * std::numbers::pi) * std::erf(t / (length * std::numbers::sqrt2));
  return t * first + length * length * std::exp(-0.5 * t * t / (length * length));
}

// Covariance of the means over two bands of mottle of variance 1.
double shared(const Interval& a, const Interval& b, double length_mm) {
  const auto to = [&](double t) { return second_integral(t, length_mm); };
  const double sum =
      to(a.to_mm - b.from_mm) - to(a.from_mm - b.from_mm) - to(a.to_mm - b.to_mm) + to(a.from_mm - b.to_mm);
  return sum / ((a.to_mm - a.from_mm) * (b.to_mm - b.from_mm));
}

// What the means over patches' strips have of mottle, for one strip's worth of what their differences have.
double shared_by_neighbours(const profile::PreparedScan& scan, const std::vector<const InkView*>& views,
                            double length_mm) {
  const auto strip = [&](std::size_t k) -> const profile::Strip& {
    return scan.strips.strips[views[k]->strip];
  };
  double different = 0;
  std::map<int, std::vector<Interval>> patches;
  for (std::size_t k = 0; k < views.size(); ++k) {
    patches[strip(k).patch].push_back(strip(k).y_mm);
    if (k == 0) continue;
    const Interval& a = strip(k - 1).y_mm;
    const Interval& b = strip(k).y_mm;
    different += 0.5 * (shared(a, a, length_mm) + shared(b, b, length_mm)) - shared(a, b, length_mm);
  }
  double meant = 0;
  for (const auto& [patch, bands] : patches) {
    for (const Interval& a : bands) {
      for (const Interval& b : bands) meant += shared(a, b, length_mm);
    }
  }
  return meant / static_cast<double>(views.size()) / (different / static_cast<double>(views.size() - 1));
}

struct Compared {
  StripNoise noise;
  std::optional<Changes> mottled;
};

// Nothing from too few strips.
std::optional<Compared> compare(const Differences& differences, double pitch_mm) {
  constexpr std::size_t kApart = 3;  // samples: farther than the blur reaches
  const double all = differences.variance();
  if (all <= 0) return std::nullopt;
  const double fine = std::min(all, differences.change_over(kApart));
  Compared out{{std::sqrt(fine), 0, 0, 3}, std::nullopt};
  if (all - fine < kLeastSlow * all) return out;
  out.noise.slow = std::sqrt(all - fine);
  out.mottled = changes_of(differences, pitch_mm, fine);
  return out;
}

}  // namespace

std::map<int, StripNoise> compare_strips(const profile::PreparedScan& scan,
                                         const std::map<int, std::vector<const InkView*>>& views,
                                         int threads) {
  std::vector<std::optional<Compared>> compared(views.size());
  for_each_part(views.size(), threads, [&](std::size_t k) {
    const auto& own = std::next(views.begin(), static_cast<std::ptrdiff_t>(k))->second;
    compared[k] = compare(Differences(scan, own), scan.strips.grid.pitch_mm);
  });
  std::map<int, StripNoise> out;
  std::map<int, Changes> mottled;
  std::size_t k = 0;
  for (const auto& [ink, own] : views) {
    const auto& seen = compared[k++];
    if (!seen) continue;
    out[ink] = seen->noise;
    if (seen->mottled) mottled[ink] = *seen->mottled;
  }
  const double length_mm = common_length(mottled);
  for (const auto& [ink, changes] : mottled) {
    const double meant = shared_by_neighbours(scan, views.at(ink), length_mm);
    out[ink].mottle = std::sqrt(fit_variance(changes, length_mm).variance * meant);
    out[ink].mottle_mm = length_mm;
  }
  return out;
}

}  // namespace scrapetrace::diagnose
