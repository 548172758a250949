#include "locate/order_targets.h"

#include <algorithm>
#include <map>

#include "locate/same_place.h"
#include "targets/cleaning_order.h"

namespace scrapetrace::locate_detail {

namespace {

// Minutes of a target's zone that go to reaching it, and its head's group.
diagnose::CleaningPlace place_of(const Layout& layout, const Target& target,
                                 std::map<std::string, int>& groups) {
  diagnose::CleaningPlace place{target.effort_min, 0, -1};
  for (const Zone& zone : layout.zones) {
    if (zone.side == target.side && zone.surface == target.surface) place.reach = zone.reach_min;
  }
  for (const Head& head : layout.heads) {
    if (head.name != target.head || head.group.empty()) continue;
    place.group = groups.try_emplace(head.group, static_cast<int>(groups.size())).first->second;
  }
  return place;
}

}  // namespace

void order_targets(const Layout& layout, Findings& findings, double least) {
  diagnose::CleaningJob job;
  std::vector<std::size_t> index;  // of the findings' targets
  std::map<std::string, int> groups;
  for (std::size_t t = 0; t < findings.targets.size(); ++t) {
    if (findings.targets[t].probability < least || findings.targets[t].never_scrape()) continue;
    index.push_back(t);
    job.places.push_back(place_of(layout, findings.targets[t], groups));
  }
  for (const Streak& streak : findings.streaks) {
    if (!findings.counts(streak)) continue;
    std::vector<double> chances(index.size(), 0.0);
    for (const StreakTarget& of : streak.targets) {
      for (std::size_t p = 0; p < index.size(); ++p) {
        if (same_place(findings.targets[index[p]], of)) chances[p] += of.probability;
      }
    }
    if (std::any_of(chances.begin(), chances.end(), [](double c) { return c > 0; }))
      job.chance.push_back(std::move(chances));
  }
  const auto plan = diagnose::plan_cleaning(job);
  findings.order.clear();
  for (const auto& visit : plan.visits) {
    CleaningStep step{{}, visit.minutes, visit.done};
    for (const std::size_t place : visit.places) step.targets.push_back(index[place]);
    findings.order.push_back(std::move(step));
  }
  findings.expected_cleaning_min = plan.expected_minutes;
}

}  // namespace scrapetrace::locate_detail
