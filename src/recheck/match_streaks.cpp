#include "recheck/match_streaks.h"

#include <algorithm>
#include <cmath>

namespace scrapetrace::recheck_detail {

namespace {

constexpr double kGate = 3.0;          // standard deviations
constexpr double kSimilarWidth = 2.0;  // factor

struct Pair {
  double score = 0;
  std::size_t before = 0;
  std::size_t after = 0;
};

// Best pairs first, each streak used once; ties keep their order.
void take_best(std::vector<Pair> pairs, std::vector<bool>& after_taken,
               std::vector<std::optional<std::size_t>>& match) {
  std::stable_sort(pairs.begin(), pairs.end(),
                   [](const Pair& a, const Pair& b) { return a.score < b.score; });
  for (const Pair& pair : pairs) {
    if (match[pair.before] || after_taken[pair.after]) continue;
    match[pair.before] = pair.after;
    after_taken[pair.after] = true;
  }
}

bool both_residue(const Streak& a, const Streak& b) {
  return a.likeliest() == Cause::residue && b.likeliest() == Cause::residue && a.residue && b.residue;
}

bool same_contact(const Streak& a, const Streak& b) {
  return both_residue(a, b) && a.residue->carriage == b.residue->carriage;
}

// Residue that moved a little still covers part of its old place.
bool overlap(const Streak& a, const Streak& b) {
  return std::abs(a.x_sheet_mm - b.x_sheet_mm) < 0.5 * (a.width_mm + b.width_mm);
}

// Missing and added ink are never the same streak.
bool comparable(const Streak& a, const Streak& b) {
  return (a.loss < 0) == (b.loss < 0);
}

}  // namespace

Position distance(const Layout& layout, const Streak& before, const Streak& after) {
  if (same_contact(before, after)) {
    return {after.residue->x_drum_mm - before.residue->x_drum_mm,
            std::hypot(before.residue->x_sigma_mm, after.residue->x_sigma_mm,
                       std::hypot(before.sigma_mm, after.sigma_mm) / layout.transfer.scale_cross)};
  }
  return {after.x_drum_mm - before.x_drum_mm,
          std::hypot(before.sigma_mm, after.sigma_mm) / layout.transfer.scale_cross};
}

std::vector<std::optional<std::size_t>> match_streaks(const Layout& layout, const Findings& before,
                                                      const Findings& after) {
  std::vector<std::optional<std::size_t>> match(before.streaks.size());
  std::vector<Pair> pairs;
  for (std::size_t b = 0; b < before.streaks.size(); ++b) {
    for (std::size_t a = 0; a < after.streaks.size(); ++a) {
      const Streak& was = before.streaks[b];
      const Streak& is = after.streaks[a];
      if (!comparable(was, is)) continue;
      const Position moved = distance(layout, was, is);
      double gate = kGate * moved.sigma_mm + 0.5 * layout.px_mm();
      if (!same_contact(was, is)) gate += 0.5 * std::abs(was.width_mm - is.width_mm);
      if (std::abs(moved.x_mm) <= gate) pairs.push_back({std::abs(moved.x_mm) / gate, b, a});
    }
  }
  std::vector<bool> taken(after.streaks.size(), false);
  take_best(std::move(pairs), taken, match);
  return match;
}

void match_moved(const Layout& layout, const Findings& before, const Findings& after, double reach_mm,
                 const std::vector<bool>& place_is_empty, std::vector<std::optional<std::size_t>>& match) {
  std::vector<bool> taken(after.streaks.size(), false);
  for (const auto& a : match) {
    if (a) taken[*a] = true;
  }
  std::vector<Pair> pairs;
  for (std::size_t b = 0; b < before.streaks.size(); ++b) {
    if (match[b]) continue;
    for (std::size_t a = 0; a < after.streaks.size(); ++a) {
      if (taken[a] || !both_residue(before.streaks[b], after.streaks[a])) continue;
      if (!place_is_empty[b] && !overlap(before.streaks[b], after.streaks[a])) continue;
      const double wide = before.streaks[b].residue->width_mm;
      const double wide_now = after.streaks[a].residue->width_mm;
      if (std::max(wide, wide_now) > kSimilarWidth * std::min(wide, wide_now)) continue;
      const double moved = std::abs(distance(layout, before.streaks[b], after.streaks[a]).x_mm);
      if (moved <= reach_mm) pairs.push_back({moved, b, a});
    }
  }
  take_best(std::move(pairs), taken, match);
}

}  // namespace scrapetrace::recheck_detail
