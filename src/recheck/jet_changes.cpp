#include "recheck/jet_changes.h"

#include <algorithm>
#include <cmath>

#include "geometry/frames.h"
#include "geometry/zones.h"
#include "recheck/update_targets.h"

namespace scrapetrace {

namespace {

constexpr double kLikelierThanNot = 0.5;
constexpr double kHalf = 0.5;          // of today's loss: the border between lost and was_so
constexpr double kOneSided95 = 1.645;  // standard deviations

bool jets_streak(const Streak& streak) {
  return streak.jet && streak.causes[static_cast<std::size_t>(Cause::dead_jet)] > kLikelierThanNot;
}

// Another kind of streak over the jet's columns, which hid it before.
bool hidden_before(const Findings& before, const Streak& jet) {
  return std::any_of(before.streaks.begin(), before.streaks.end(), [&](const Streak& other) {
    return !jets_streak(other) &&
           std::abs(other.x_sheet_mm - jet.x_sheet_mm) < (other.width_mm + jet.width_mm) / 2;
  });
}

JetState state_of(const Findings& before, const Streak& streak, const Reading& then, const Reading& now) {
  if (!then.seen || !now.seen) return JetState::unknown;
  const double half = kHalf * now.loss;
  if (then.loss + kOneSided95 * then.sigma < half) return JetState::lost;
  if (then.loss - kOneSided95 * then.sigma > half && !hidden_before(before, streak)) return JetState::was_so;
  return JetState::unknown;
}

// From the jet, carriage at home, to the nearest cleaned zone of its head.
std::optional<double> from_cleaned(const Layout& layout, const JetFit& jet,
                                   const std::vector<Cleaned>& cleaned) {
  std::optional<double> nearest;
  for (const auto& zone : geometry::target_zones(layout)) {
    const Head& head = layout.heads[zone.head];
    const Zone& what = layout.zones[zone.zone];
    if (head.name != jet.head ||
        !recheck_detail::is_cleaned({head.name, what.side, what.surface, 0}, cleaned))
      continue;
    const int column = head.first_jet_px + jet.jet * layout.interleave.jet_pitch_px;
    const double x = geometry::drum_x_of_column(layout, column, head.carriage);
    const double away = std::max({0.0, zone.from_mm - x, x - zone.to_mm});
    if (!nearest || away < *nearest) nearest = away;
  }
  return nearest;
}

}  // namespace

std::vector<JetChange> jet_changes(const Layout& layout, const Findings& before, const Findings& after,
                                   const StreakReadings& of_after, const std::vector<Cleaned>& cleaned) {
  std::vector<JetChange> out;
  for (std::size_t a = 0; a < after.streaks.size(); ++a) {
    const Streak& streak = after.streaks[a];
    if (!jets_streak(streak)) continue;
    JetChange jet;
    jet.head = streak.jet->head;
    jet.ink = streak.jet->ink;
    jet.jet = streak.jet->jet;
    jet.probability = streak.causes[static_cast<std::size_t>(Cause::dead_jet)];
    jet.loss = streak.jet->loss;
    jet.dead = jet.loss >= kDeadFromLoss;
    jet.after = streak.id;
    jet.x_sheet_mm = streak.x_sheet_mm;
    jet.state = state_of(before, streak, pooled(of_after.on_before[a]), pooled(of_after.on_after[a]));
    jet.from_cleaned_mm = from_cleaned(layout, *streak.jet, cleaned);
    out.push_back(std::move(jet));
  }
  return out;
}

namespace recheck_detail {

bool harmed(const std::vector<JetChange>& jets) {
  return std::any_of(jets.begin(), jets.end(), [](const JetChange& jet) {
    return jet.state == JetState::lost && jet.from_cleaned_mm.has_value();
  });
}

}  // namespace recheck_detail

}  // namespace scrapetrace
