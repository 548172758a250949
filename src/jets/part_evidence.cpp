#include "jets/part_evidence.h"

#include <algorithm>
#include <cmath>

#include "base/parallel.h"

namespace scrapetrace::jets {

namespace {
constexpr double kPartLength_mm = 10;
constexpr double kSlight = 0.08;  // of the share explained: two ways that are one and the same differ by less
constexpr double kClear = 0.18;   // from here on a part says all it may,
constexpr double kMost = 3;       // log units
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
  double sum = 0;
  const std::size_t parts = std::min(a.size(), b.size());
  for (std::size_t k = 0; k < parts; ++k) {
    const PartEvidence& one = a[k];
    const PartEvidence& other = opposite ? b[b.size() - 1 - k] : b[k];
    if (!one.quiet || !other.quiet) continue;
    const double more = one.explained - other.explained;
    const double clear = std::clamp((std::abs(more) - kSlight) / (kClear - kSlight), 0.0, 1.0);
    sum += std::copysign(kMost * clear, more);
  }
  return sum;
}

}  // namespace scrapetrace::jets
