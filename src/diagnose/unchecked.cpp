#include "diagnose/unchecked.h"

#include <algorithm>

#include "geometry/travel.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kLeastFraction = 0.01;

std::vector<Interval> seen_intervals(const std::vector<PreparedScan>& scans) {
  std::vector<Interval> seen;
  for (const PreparedScan& scan : scans) {
    for (const auto& view : scan.views.inked) {
      const auto& strip = scan.strips.strips[view.strip];
      seen.push_back({scan.strips.grid.at(strip.from), scan.strips.grid.at(strip.to - 1)});
    }
  }
  std::sort(seen.begin(), seen.end(),
            [](const Interval& a, const Interval& b) { return a.from_mm < b.from_mm; });
  std::vector<Interval> merged;
  for (const Interval& s : seen) {
    if (!merged.empty() && s.from_mm <= merged.back().to_mm) {
      merged.back().to_mm = std::max(merged.back().to_mm, s.to_mm);
    } else {
      merged.push_back(s);
    }
  }
  return merged;
}

double middle_travel_mm(const Layout& layout, std::size_t carriage) {
  const geometry::Travel travel = geometry::travel_of(layout, carriage);
  return 0.5 * (travel.low_px + travel.high_px) * layout.px_mm();
}

}  // namespace

std::vector<Unchecked> find_unchecked(const Layout& layout, const std::vector<geometry::TargetZone>& zones,
                                      const std::vector<PreparedScan>& scans) {
  std::vector<Interval> reach;  // of each zone, on the print
  Interval all{1e300, -1e300};
  for (const auto& zone : zones) {
    const double shift = middle_travel_mm(layout, layout.heads[zone.head].carriage);
    reach.push_back({zone.from_mm + shift, zone.to_mm + shift});
    all = {std::min(all.from_mm, reach.back().from_mm), std::max(all.to_mm, reach.back().to_mm)};
  }
  const auto seen = seen_intervals(scans);
  std::vector<Interval> gaps;
  double at = all.from_mm;
  for (const Interval& s : seen) {
    if (s.from_mm > at) gaps.push_back({at, std::min(s.from_mm, all.to_mm)});
    at = std::max(at, s.to_mm);
  }
  if (at < all.to_mm) gaps.push_back({at, all.to_mm});

  std::vector<Unchecked> out;
  for (const Interval& gap : gaps) {
    Unchecked item{
        gap, seen.empty() ? "no scan could be analysed" : "no printed patch shows this part of the drum", {}};
    for (std::size_t z = 0; z < zones.size(); ++z) {
      const double overlap = std::min(gap.to_mm, reach[z].to_mm) - std::max(gap.from_mm, reach[z].from_mm);
      const double fraction = overlap / (reach[z].to_mm - reach[z].from_mm);
      if (fraction < kLeastFraction) continue;
      const Zone& zone = layout.zones[zones[z].zone];
      item.targets.push_back(
          {layout.heads[zones[z].head].name, zone.side, zone.surface, std::min(1.0, fraction)});
    }
    if (!item.targets.empty()) out.push_back(std::move(item));
  }
  return out;
}

}  // namespace scrapetrace::diagnose
