#include "scrapetrace/recheck.h"

#include <algorithm>
#include <cmath>

#include "geometry/frames.h"
#include "recheck/classify.h"
#include "recheck/jet_changes.h"
#include "recheck/match_streaks.h"
#include "recheck/update_targets.h"

namespace scrapetrace {

namespace {

using recheck_detail::Part;

constexpr double kWorthALook = 0.1;     // as in locate's answer: below, another print is cheaper
constexpr double kHazeDensity = 0.004;  // below, uneven paper looks the same
constexpr double kSurely = 3.0;

StreakChange describe(const Layout& layout, const Streak& streak, Reading before, Reading after) {
  StreakChange change;
  change.cause = streak.likeliest();
  change.x_drum_mm = streak.x_drum_mm;
  change.x_sheet_mm = geometry::SheetFromDrum(layout).sheet_x(streak.x_drum_mm);
  change.width_mm = streak.width_mm;
  change.loss_before = before;
  change.loss_after = after;
  return change;
}

std::vector<StreakChange> changes_of(const Layout& layout, const RecheckEvidence& evidence,
                                     const RecheckOptions& options) {
  const auto& before = evidence.before.streaks;
  const auto& after = evidence.after.streaks;
  auto match = recheck_detail::match_streaks(layout, evidence.before, evidence.after);
  std::vector<StreakChange> changes;
  std::vector<bool> left(before.size(), false);
  for (std::size_t b = 0; b < before.size(); ++b) {
    StreakChange change = describe(layout, before[b], pooled(evidence.of_before.on_before[b]),
                                   pooled(evidence.of_before.on_after[b]));
    change.before = before[b].id;
    change.visible = evidence.before.counts(before[b]);
    change.change = recheck_detail::classify(change, match[b].has_value(), options);
    if (match[b]) change.after = after[*match[b]].id;
    left[b] = change.change == Change::gone;
    changes.push_back(change);
  }
  const auto stayed = match;
  recheck_detail::match_moved(layout, evidence.before, evidence.after, options.moved_reach_mm, left, match);
  std::vector<bool> known(after.size(), false);
  for (std::size_t b = 0; b < before.size(); ++b) {
    if (!match[b]) continue;
    const Streak& streak = after[*match[b]];
    known[*match[b]] = true;
    changes[b].cause = streak.likeliest();
    changes[b].after = streak.id;
    const auto moved = recheck_detail::distance(layout, before[b], streak);
    changes[b].moved_mm = moved.x_mm;
    changes[b].moved_sigma_mm = moved.sigma_mm;
    changes[b].visible = evidence.after.counts(streak);
    if (!stayed[b]) changes[b].change = Change::moved;
  }
  for (std::size_t a = 0; a < after.size(); ++a) {
    if (known[a]) continue;
    StreakChange change = describe(layout, after[a], pooled(evidence.of_after.on_before[a]),
                                   pooled(evidence.of_after.on_after[a]));
    change.change = Change::appeared;
    change.visible = evidence.after.counts(after[a]);
    change.after = after[a].id;
    changes.push_back(change);
  }
  std::stable_sort(changes.begin(), changes.end(),
                   [](const StreakChange& a, const StreakChange& b) { return a.x_sheet_mm < b.x_sheet_mm; });
  return changes;
}

const Streak& by_id(const Findings& findings, std::size_t id) {
  return *std::find_if(findings.streaks.begin(), findings.streaks.end(),
                       [&](const Streak& streak) { return streak.id == id; });
}

RecheckTarget& entry(std::vector<RecheckTarget>& targets, const StreakTarget& wanted, bool cleaned) {
  const auto found = std::find_if(targets.begin(), targets.end(), [&](const RecheckTarget& t) {
    return t.head == wanted.head && t.side == wanted.side && t.surface == wanted.surface;
  });
  if (found != targets.end()) return *found;
  targets.push_back({wanted.head, wanted.side, wanted.surface, cleaned, 0, 0, 0, false, {}});
  return targets.back();
}

// Adds an independent streak that may come from here.
void add(double& probability, double part) {
  probability = 1 - (1 - probability) * (1 - std::clamp(part, 0.0, 1.0));
}

std::vector<RecheckTarget> targets_of(const RecheckEvidence& evidence,
                                      const std::vector<StreakChange>& changes,
                                      const std::vector<Cleaned>& cleaned, const RecheckOptions& options) {
  std::vector<RecheckTarget> targets;
  for (const auto& change : changes) {
    const Streak& streak =
        change.after ? by_id(evidence.after, *change.after) : by_id(evidence.before, *change.before);
    for (const Part& part : recheck_detail::update_streak(streak.targets, change.change, cleaned, options)) {
      RecheckTarget& target = entry(targets, part.target, part.cleaned);
      add(target.was, part.was);
      if (change.visible) add(target.now, part.now);
    }
  }
  for (const auto& target : evidence.before.targets) {
    const StreakTarget where{target.head, target.side, target.surface, target.probability};
    RecheckTarget& known = entry(targets, where, recheck_detail::is_cleaned(where, cleaned));
    known.before = target.probability;
    known.over_jets = target.over_jets;
    known.touch_from_mm = target.touch_from_mm;
  }
  for (const auto& target : evidence.after.targets) {  // prefer the after scans where they show it
    const StreakTarget where{target.head, target.side, target.surface, target.probability};
    RecheckTarget& known = entry(targets, where, recheck_detail::is_cleaned(where, cleaned));
    known.over_jets = target.over_jets;
    known.touch_from_mm = target.touch_from_mm;
  }
  std::stable_sort(targets.begin(), targets.end(), [](const RecheckTarget& a, const RecheckTarget& b) {
    return a.now > b.now || (a.now == b.now && a.was > b.was);
  });
  return targets;
}

bool hazy(const Reading& reading) {
  return reading.seen && -reading.loss > std::max(kSurely * reading.sigma, kHazeDensity);
}

// In order; the last sheet that shows bare paper decides.
void judge_haze(const RecheckEvidence& evidence, Recheck& out) {
  std::vector<const std::vector<Reading>*> places;
  for (const auto& readings : evidence.white_after) places.push_back(&readings);
  for (std::size_t a = 0; a < evidence.after.streaks.size(); ++a) {
    if (evidence.after.streaks[a].likeliest() == Cause::blade_haze)
      places.push_back(&evidence.of_after.on_after[a]);
  }
  for (const auto* readings : places) {
    bool ever = false;
    const Reading* last = nullptr;
    for (const Reading& reading : *readings) {
      if (!reading.seen) continue;
      last = &reading;
      ever = ever || hazy(reading);
    }
    if (last == nullptr) continue;
    const Haze haze = hazy(*last) ? Haze::present : ever ? Haze::cleared : Haze::clean;
    if (haze == Haze::present) out.haze_density = std::max(out.haze_density, -last->loss);
    const bool worse = out.haze == Haze::could_not_look || haze == Haze::present ||
                       (haze == Haze::cleared && out.haze == Haze::clean);
    if (worse) out.haze = haze;
  }
}

bool is_there(const StreakChange& change) {
  return change.change != Change::gone && change.change != Change::could_not_look;
}

// A visible streak in the after scans that is no haze.
bool remains(const StreakChange& change) {
  return is_there(change) && change.visible && change.cause != Cause::blade_haze;
}

NextStep next_step(const RecheckEvidence& evidence, const Recheck& result) {
  if (!evidence.after.any_scan_analysed() || !evidence.before.any_scan_analysed())
    return NextStep::look_again;
  const bool others = std::any_of(result.changes.begin(), result.changes.end(), remains);
  if (others && !result.targets.empty() && result.targets.front().now >= kWorthALook) {
    return result.targets.front().cleaned ? NextStep::clean_again : NextStep::clean_next;
  }
  if (result.count(Change::could_not_look) > 0) return NextStep::look_again;  // before anything is opened
  if (result.haze == Haze::present) return NextStep::print_on;
  if (others) return NextStep::other_causes;
  return result.haze == Haze::could_not_look ? NextStep::look_again : NextStep::close;
}

}  // namespace

std::size_t Recheck::count(Change change) const {
  return static_cast<std::size_t>(std::count_if(changes.begin(), changes.end(),
                                                [&](const StreakChange& c) { return c.change == change; }));
}

std::size_t Recheck::traces() const {
  return static_cast<std::size_t>(std::count_if(changes.begin(), changes.end(), [](const StreakChange& c) {
    return is_there(c) && !c.visible && c.cause != Cause::scanner_line;
  }));
}

Reading pooled(const std::vector<Reading>& readings) {
  Reading out;
  double weight = 0;
  double spread = 0;
  for (const Reading& reading : readings) {
    if (!reading.seen) continue;
    const double w = 1 / (reading.sigma * reading.sigma);
    weight += w;
    out.loss += w * reading.loss;
    spread += w * reading.sigma;
    out.seen = true;
  }
  if (!out.seen) return out;
  out.loss /= weight;
  out.sigma = spread / weight;
  return out;
}

Recheck recheck(const Layout& layout, const RecheckEvidence& evidence, const std::vector<Cleaned>& cleaned,
                const RecheckOptions& options) {
  Recheck out;
  out.changes = changes_of(layout, evidence, options);
  out.targets = targets_of(evidence, out.changes, cleaned, options);
  out.jets = jet_changes(layout, evidence.before, evidence.after, evidence.of_after, cleaned);
  judge_haze(evidence, out);
  out.next = recheck_detail::harmed(out.jets) ? NextStep::stop : next_step(evidence, out);
  return out;
}

}  // namespace scrapetrace
