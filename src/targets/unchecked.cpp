#include "targets/unchecked.h"

#include <algorithm>

#include "base/intervals.h"
#include "geometry/travel.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kLeastFraction = 0.01;

using Intervals = std::vector<Interval>;

// What joined parts leave of the whole.
Intervals left_by(const Intervals& parts, Interval whole) {
  Intervals out;
  double at = whole.from_mm;
  for (const Interval& part : parts) {
    if (part.from_mm > at) out.push_back({at, std::min(part.from_mm, whole.to_mm)});
    at = std::max(at, part.to_mm);
    if (at >= whole.to_mm) return out;
  }
  out.push_back({at, whole.to_mm});
  return out;
}

Intervals printed(const profile::PreparedScan& scan) {
  Intervals out;
  for (const auto& view : scan.views.inked) {
    const auto& strip = scan.strips.strips[view.strip];
    out.push_back({scan.strips.grid.at(strip.from), scan.strips.grid.at(strip.to - 1)});
  }
  return joined(std::move(out));
}

double middle_travel_mm(const Layout& layout, std::size_t carriage) {
  const geometry::Travel travel = geometry::travel_of(layout, carriage);
  return 0.5 * (travel.low_px + travel.high_px) * layout.px_mm();
}

// The gaps that some target's zone reaches into.
void add(const geometry::Machine& machine, const Intervals& reach, const Intervals& gaps, const char* reason,
         std::vector<Unchecked>& out) {
  for (const Interval& gap : gaps) {
    Unchecked item{gap, reason, {}};
    for (std::size_t z = 0; z < machine.zones.size(); ++z) {
      const double overlap = std::min(gap.to_mm, reach[z].to_mm) - std::max(gap.from_mm, reach[z].from_mm);
      const double fraction = overlap / (reach[z].to_mm - reach[z].from_mm);
      if (fraction < kLeastFraction) continue;
      const Zone& zone = machine.layout.zones[machine.zones[z].zone];
      item.targets.push_back({machine.layout.heads[machine.zones[z].head].name, zone.side, zone.surface,
                              std::min(1.0, fraction)});
    }
    if (!item.targets.empty()) out.push_back(std::move(item));
  }
}

}  // namespace

std::vector<Unchecked> find_unchecked(const geometry::Machine& machine,
                                      const std::vector<profile::PreparedScan>& scans,
                                      const std::vector<std::vector<Interval>>& hidden) {
  Intervals reach;  // of each zone, on the print
  Interval all{1e300, -1e300};
  for (const auto& zone : machine.zones) {
    const double shift = middle_travel_mm(machine.layout, machine.layout.heads[zone.head].carriage);
    reach.push_back({zone.from_mm + shift, zone.to_mm + shift});
    all = {std::min(all.from_mm, reach.back().from_mm), std::max(all.to_mm, reach.back().to_mm)};
  }
  Intervals inked;
  Intervals shown;
  for (std::size_t s = 0; s < scans.size(); ++s) {
    const Intervals of_scan = printed(scans[s]);
    inked.insert(inked.end(), of_scan.begin(), of_scan.end());
    const Intervals holes = s < hidden.size() ? joined(hidden[s]) : Intervals();
    for (const Interval& part : of_scan) {
      for (const Interval& rest : left_by(holes, part)) shown.push_back(rest);
    }
  }
  inked = joined(std::move(inked));
  shown = joined(std::move(shown));

  std::vector<Unchecked> out;
  add(machine, reach, left_by(inked, all),
      inked.empty() ? "no scan could be analysed" : "no printed patch shows this part of the drum", out);
  for (const Interval& part : inked) {
    add(machine, reach, left_by(shown, part),
        "a seam of carriages that stand off from each other lies about here, and the print's place is not "
        "known well enough to tell a streak from it",
        out);
  }
  std::stable_sort(out.begin(), out.end(), [](const Unchecked& a, const Unchecked& b) {
    return a.x_drum_mm.from_mm < b.x_drum_mm.from_mm;
  });
  return out;
}

double checked_part(const geometry::Machine& machine, const std::vector<Unchecked>& unchecked) {
  double all = 0;
  double seen = 0;
  for (const geometry::TargetZone& zone : machine.zones) {
    const Zone& of = machine.layout.zones[zone.zone];
    double hidden = 0;
    for (const Unchecked& gap : unchecked) {
      for (const UncheckedTarget& target : gap.targets) {
        if (target.head == machine.layout.heads[zone.head].name && target.side == of.side &&
            target.surface == of.surface)
          hidden += target.fraction;
      }
    }
    const double weight = zone.prior_density * (zone.to_mm - zone.from_mm);
    all += weight;
    seen += weight * std::max(0.0, 1 - hidden);
  }
  return all > 0 ? seen / all : 0;
}

}  // namespace scrapetrace::diagnose
