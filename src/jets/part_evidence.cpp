#include "jets/part_evidence.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/parallel.h"

namespace scrapetrace::jets {

namespace {
constexpr double kPartLength_mm = 10;
constexpr double kSlight = 0.04;  // of the share explained: two ways that are one and the same differ by less
constexpr double kClear = 0.10;   // from here on a part says all it may,
constexpr double kMost = 3;       // log units
constexpr double kLeastScatter = 0.01;  // of the share, part by part, where both ways are one
constexpr std::size_t kFewest = 4;

// What parts say each by itself.
double of_clear_parts(const std::vector<double>& more) {
  double sum = 0;
  for (const double m : more)
    sum += std::copysign(kMost * std::max(0.0, std::abs(m) - kSlight) / (kClear - kSlight), m);
  return sum;
}

// Small differences of one sign: the log of the likelihood ratio of their mean against none, their scatter
// unknown, (n / 2) log(1 + t^2 / (n - 1)) with Student's t.
double of_all_parts(const std::vector<double>& more) {
  if (more.size() < kFewest) return 0;
  const auto n = static_cast<double>(more.size());
  const double mean = std::accumulate(more.begin(), more.end(), 0.0) / n;
  double squares = 0;
  for (const double m : more) squares += (m - mean) * (m - mean);
  const double error_squared = std::max(kLeastScatter * kLeastScatter, squares / (n - 1)) / n;
  return std::copysign(0.5 * n * std::log1p(mean * mean / error_squared / (n - 1)), mean);
}

}  // namespace

std::vector<PartEvidence> evidence_by_parts(const JetData& data, const Trial& place, int threads) {
  const Interval window = data.window_mm();
  const double whole_mm = window.to_mm - window.from_mm;
  const auto parts = static_cast<std::size_t>(std::max(1.0, std::round(whole_mm / kPartLength_mm)));
  const double length_mm = whole_mm / static_cast<double>(parts);
  std::vector<PartEvidence> out(parts);
  for_each_part(parts, threads, [&](std::size_t k) {
    const double from_mm = window.from_mm + static_cast<double>(k) * length_mm;
    const Interval part{from_mm, from_mm + length_mm};
    const JetData shown = data.narrowed(part);
    const double all = shown.square() / std::max(1.0, shown.samples());
    if (all > 0) out[k].explained = std::max(0.0, 1 - JetMatch(shown, place).left_over(place) / all);
    out[k].quiet = !data.near_streak(part);
  });
  return out;
}

double log_odds(const std::vector<PartEvidence>& a, const std::vector<PartEvidence>& b, bool opposite) {
  std::vector<double> more;  // that `a` explains, of each quiet part
  const std::size_t parts = std::min(a.size(), b.size());
  for (std::size_t k = 0; k < parts; ++k) {
    const PartEvidence& one = a[k];
    const PartEvidence& other = opposite ? b[b.size() - 1 - k] : b[k];
    if (one.quiet && other.quiet)
      more.push_back(std::clamp(one.explained - other.explained, -kClear, kClear));
  }
  const double clear = of_clear_parts(more);
  const double all = of_all_parts(more);
  return std::abs(clear) > std::abs(all) ? clear : all;
}

}  // namespace scrapetrace::jets
