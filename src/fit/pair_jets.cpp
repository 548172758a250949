#include <algorithm>
#include <cmath>
#include <limits>

#include "fit/find_gap.h"
#include "fit/nominal_place.h"
#include "geometry/frames.h"

namespace scrapetrace {

namespace {

struct Expected {
  double x_sheet_mm = 0;  // up to a common shift
  double width_mm = 0;
};

// A streak of unknown width (0) matches any jet.
bool may_be(const Streak& streak, const Expected& expected) {
  return streak.width_mm <= 0 ||
         (streak.width_mm > 0.5 * expected.width_mm && streak.width_mm < 2 * expected.width_mm);
}

struct Pairing {
  std::vector<std::optional<std::size_t>> streak_of;  // per jet
  std::size_t number = 0;
  double squares = 0;
  [[nodiscard]] bool better_than(const Pairing& other) const {
    return number > other.number || (number == other.number && squares < other.squares);
  }
};

// Each jet with the nearest streak in reach of its expected position; a streak serves one jet.
Pairing pair_at(const std::vector<Expected>& expected, const std::vector<Streak>& streaks, double shift,
                double reach) {
  struct Candidate {
    double distance;
    std::size_t jet;
    std::size_t streak;
  };
  std::vector<Candidate> all;
  for (std::size_t j = 0; j < expected.size(); ++j) {
    for (std::size_t k = 0; k < streaks.size(); ++k) {
      const double distance = std::abs(streaks[k].x_sheet_mm - expected[j].x_sheet_mm - shift);
      if (distance <= reach && may_be(streaks[k], expected[j])) all.push_back({distance, j, k});
    }
  }
  std::stable_sort(all.begin(), all.end(),
                   [](const Candidate& a, const Candidate& b) { return a.distance < b.distance; });
  Pairing out{std::vector<std::optional<std::size_t>>(expected.size()), 0, 0};
  std::vector<bool> taken(streaks.size(), false);
  for (const auto& [distance, jet, streak] : all) {
    if (out.streak_of[jet] || taken[streak]) continue;
    out.streak_of[jet] = streak;
    taken[streak] = true;
    ++out.number;
    out.squares += distance * distance;
  }
  return out;
}

}  // namespace

PairedJets pair_jets(const Layout& start, const std::vector<KnownJet>& jets,
                     const std::vector<Streak>& streaks, bool mirrored, double reach_mm) {
  const geometry::ColumnMap columns(start);
  const double slope = (mirrored ? -1 : 1) * start.transfer.scale_cross;
  std::vector<Expected> expected;
  for (const KnownJet& jet : jets) {
    const auto nominal = fit::nominal_place(start, columns, {jet, std::nullopt, 0, 0});
    // The layout has no such jet: leave it without a streak.
    if (!nominal) {
      expected.push_back({std::numeric_limits<double>::infinity(), 0});
      continue;
    }
    const double width = nominal->lines_mm.back() - nominal->lines_mm.front() + start.px_mm();
    expected.push_back({slope * nominal->x_drum_mm, std::abs(slope) * width});
  }
  Pairing best{std::vector<std::optional<std::size_t>>(jets.size()), 0, 0};
  for (const auto& [x, width] : expected) {
    if (!std::isfinite(x)) continue;
    for (const Streak& streak : streaks) {
      auto pairing = pair_at(expected, streaks, streak.x_sheet_mm - x, reach_mm);
      if (pairing.better_than(best)) best = std::move(pairing);
    }
  }
  PairedJets out;
  for (std::size_t j = 0; j < jets.size(); ++j) {
    KnownPlace place{jets[j], std::nullopt, 0, 0};
    if (!best.streak_of[j]) {
      out.missing.push_back(to_string(place));
      continue;
    }
    const Streak& streak = streaks[*best.streak_of[j]];
    place.x_sheet_mm = streak.x_sheet_mm;
    place.sigma_mm = std::max(streak.sigma_mm, 1e-3);
    out.places.push_back(std::move(place));
    out.streaks.push_back(*best.streak_of[j]);
  }
  return out;
}

std::optional<double> x_of_gap(const Layout& start, const KnownPlace& place, bool mirrored,
                               const std::vector<double>& x_drum_mm, const std::vector<double>& loss,
                               double reach_mm) {
  const geometry::SheetFromDrum sheet_from_drum(start);
  const auto nominal = fit::nominal_place(start, geometry::ColumnMap(start), place);
  if (!nominal || !place.jet) return std::nullopt;
  auto lines = nominal->lines_mm;
  // Mirrored, the lines are in reverse order.
  if (mirrored != start.transfer.mirrored) {
    for (double& line : lines) line = -line;
  }
  const auto x = fit::find_gap(x_drum_mm, loss, lines, sheet_from_drum.drum_x(place.x_sheet_mm), reach_mm);
  if (!x) return std::nullopt;
  return sheet_from_drum.sheet_x(*x);
}

}  // namespace scrapetrace
