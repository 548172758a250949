#include "locate/hold_to_residue.h"

#include <algorithm>
#include <cassert>

#include "locate/same_place.h"

namespace scrapetrace::locate_detail {

namespace {

constexpr double kLeastTarget = 0.005;  // as in ranking
constexpr double kSumError = 1e-9;
// That a layout is right whose jets' pattern the print does not show. Judgement: less than even, since sheets
// whose jets show at all are recognised as a rule.
constexpr double kUnproved = 0.4;

double residue_of(const Streak& streak) {
  return std::clamp(streak.causes[static_cast<std::size_t>(Cause::residue)], 0.0, 1.0);
}

double sum_of_targets(const Streak& streak) {
  double sum = 0;
  for (const StreakTarget& target : streak.targets) sum += target.probability;
  return sum;
}

void hold_rivals(const std::vector<Target>& targets, Target& target) {
  std::vector<Rival> kept;
  for (Rival& rival : target.rivals) {
    const auto same = std::find_if(targets.begin(), targets.end(),
                                   [&](const Target& other) { return same_place(rival, other); });
    if (same == targets.end()) continue;
    rival.probability = same->probability;
    kept.push_back(std::move(rival));
  }
  target.rivals = std::move(kept);
}

void hold_targets(const std::vector<Streak>& streaks, std::vector<Target>& targets) {
  bool changed = false;
  for (Target& target : targets) {
    const double most = residue_bound(target, streaks);
    if (target.probability <= most) continue;
    target.probability = most;
    changed = true;
  }
  if (!changed) return;
  targets.erase(std::remove_if(targets.begin(), targets.end(),
                               [](const Target& t) { return t.probability < kLeastTarget; }),
                targets.end());
  std::stable_sort(targets.begin(), targets.end(),
                   [](const Target& a, const Target& b) { return a.probability > b.probability; });
  for (Target& target : targets) hold_rivals(targets, target);
}

}  // namespace

double residue_bound(const Target& target, const std::vector<Streak>& streaks) {
  double none = 1;
  for (const Streak& streak : streaks) {
    if (std::find(target.streaks.begin(), target.streaks.end(), streak.id) != target.streaks.end())
      none *= 1 - residue_of(streak);
  }
  return 1 - none;
}

bool held_to_residue(const Findings& findings) {
  const auto held = [&](const Target& target) {
    return target.probability <= residue_bound(target, findings.streaks) + kSumError;
  };
  return std::all_of(findings.targets.begin(), findings.targets.end(), held) &&
         std::all_of(findings.traces.begin(), findings.traces.end(), held) &&
         std::all_of(findings.streaks.begin(), findings.streaks.end(), [](const Streak& streak) {
           return sum_of_targets(streak) <= residue_of(streak) + kSumError;
         });
}

void hold_to_residue(Findings& findings) {
  for (Streak& streak : findings.streaks) {
    const double sum = sum_of_targets(streak);
    if (sum <= residue_of(streak)) continue;
    for (StreakTarget& target : streak.targets) target.probability *= residue_of(streak) / sum;
  }
  hold_targets(findings.streaks, findings.targets);
  hold_targets(findings.streaks, findings.traces);
  assert(held_to_residue(findings));
}

void hold_unproved(Findings& findings) {
  for (auto* targets : {&findings.targets, &findings.traces}) {
    for (Target& target : *targets) {
      target.probability *= kUnproved;
      for (Rival& rival : target.rivals) rival.probability *= kUnproved;
    }
  }
  for (Streak& streak : findings.streaks) {
    for (StreakTarget& target : streak.targets) target.probability *= kUnproved;
  }
}

}  // namespace scrapetrace::locate_detail
