#pragma once
// Before and after a cleaning: what became of each streak, what that says about the targets, what to do next.
//
// The model. A streak k comes from target i with probability p_i (Streak::targets), from anything else with
// the rest. A set C of places was cleaned. What becomes of a streak depends on whether its own place is in C:
//
//   L(outcome | i in C)       gone: g            fainter or moved: q       as it was: 1 - g - q
//   L(outcome | i not in C)   gone: v            fainter or moved: u       as it was: 1 - v - u
//
// and by Bayes' rule p_i' = p_i L_i / sum_j p_j L_j, the sum running over all targets and "anything else". A
// streak that is as it was, but stronger, counts as "as it was". A streak that the after scans could not show
// says nothing about its origin; residue on a cleaned place is then still there with probability
// p_i (1 - g). Residue of a streak that is gone is gone. Over several streaks, as in locate():
// P(target) = 1 - product over streaks of (1 - P(residue is there now)).

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "scrapetrace/findings.h"
#include "scrapetrace/jet_changes.h"
#include "scrapetrace/measure.h"

namespace scrapetrace {

struct Cleaned {
  std::string head;
  Side side = Side::left;
  std::string surface;  // empty: all surfaces of that side
};

struct RecheckOptions {
  // Common practice, no source, all four: most cleanings take the residue off whole, some only part of it;
  // a streak that goes or weakens by itself is rare.
  double success = 0.80;         // g: a cleaned place no longer scrapes
  double partial = 0.12;         // q: it scrapes less, or somewhere near
  double gone_by_itself = 0.02;  // v
  double less_by_itself = 0.05;  // u
  double gone_below = 0.25;      // "gone" needs that at most this part of the streak can remain (95 %)
  double moved_reach_mm = 5.0;   // residue that moved further is taken for new
};

enum class Change { gone, fainter, unchanged, stronger, moved, appeared, could_not_look };
inline constexpr std::size_t kChangeCount = 7;
const char* to_string(Change change);  // as in the JSON: "gone", ..., "new", "could_not_look"

struct StreakChange {
  Change change = Change::could_not_look;
  std::optional<std::size_t> before;  // Streak::id in the findings before
  std::optional<std::size_t> after;
  Cause cause = Cause::unknown;  // likeliest, after where it shows, else before
  double x_drum_mm = 0;
  double x_sheet_mm = 0;
  double width_mm = 0;
  Reading loss_before;  // measured the same way on both, over the streak's place before (after, when new)
  Reading loss_after;
  double fainter_by = 0;  // 1 - after / before; negative: stronger
  double fainter_sigma = 0;
  double at_most = 0;  // of the ink can still be missing there: upper limit, 95 %
  double moved_mm = 0;
  double moved_sigma_mm = 0;
  bool visible = true;  // whether an eye sees it: after where it shows, else before
};

struct RecheckTarget {
  std::string head;
  Side side = Side::left;
  std::string surface;
  bool cleaned = false;
  double before = 0;       // P(it had residue that draws a streak), from the scans before alone
  double was = 0;          // the same once the outcome is known
  double now = 0;          // P(residue is still there), of streaks that an eye sees
  bool over_jets = false;  // as in Target
  std::optional<double> touch_from_mm{};
  [[nodiscard]] bool never_scrape() const { return over_jets && !touch_from_mm; }
};

// Ink that the cleaning loosened gets past the blade and shows as haze on bare paper.
enum class Haze { clean, present, cleared, could_not_look };
const char* to_string(Haze haze);

// stop: a head that was cleaned lost jets.
enum class NextStep { close, print_on, clean_again, clean_next, other_causes, look_again, stop };
const char* to_string(NextStep step);

struct Recheck {
  std::vector<StreakChange> changes;   // left to right on the sheet
  std::vector<RecheckTarget> targets;  // likeliest to hold residue now first
  std::vector<JetChange> jets;         // likelier a jet than not; left to right on the sheet
  Haze haze = Haze::could_not_look;
  double haze_density = 0;  // the highest that the last sheet shows
  NextStep next = NextStep::look_again;
  [[nodiscard]] std::size_t count(Change change) const;
  // Streaks that are still there, and too faint to see.
  [[nodiscard]] std::size_t traces() const;
};

// What recheck() weighs. Readings are per streak of the findings, per scan.
struct StreakReadings {
  std::vector<std::vector<Reading>> on_before;
  std::vector<std::vector<Reading>> on_after;
};
struct RecheckEvidence {
  Findings before;
  Findings after;
  StreakReadings of_before;                       // the places of before.streaks
  StreakReadings of_after;                        // the places of after.streaks
  std::vector<std::vector<Reading>> white_after;  // bare paper at the cleaned places, per after scan
};

// The place on the drum where a streak is to be measured.
Place place_of(const Layout& layout, const Streak& streak);
// Bare paper in reach of the cleaned places; one per target cleaned.
std::vector<Place> white_places(const Layout& layout, const std::vector<Cleaned>& cleaned);

// Several scans of one state count as one reading: weighted by 1 / sigma^2, but with the spread of fully
// dependent readings, since jets' volumes repeat on every sheet. Not seen when none of them is.
Reading pooled(const std::vector<Reading>& readings);

// What became of the jets between the scans of `before` and those of `after`; `of_after` are the readings at
// the places of after.streaks. Every streak of `after` that is a dead or weak jet's, likelier than not. A jet
// is lost when its place read less than half of today's loss before (95 %); it was so when it read more than
// half (95 %) and nothing but a jet stood there; anything else the scans before could not show.
std::vector<JetChange> jet_changes(const Layout& layout, const Findings& before, const Findings& after,
                                   const StreakReadings& of_after, const std::vector<Cleaned>& cleaned = {});

Recheck recheck(const Layout& layout, const RecheckEvidence& evidence, const std::vector<Cleaned>& cleaned,
                const RecheckOptions& options);

}  // namespace scrapetrace
