#pragma once
// What locate said, beside the truth.

#include "score/case.h"

namespace scrapetrace::score {

// Probability per target, layout order; 0 for targets not named.
std::vector<double> beliefs_of(const Layout& layout, const std::vector<Target>& targets);

// The stretch of the drum where each true cause shows.
struct TrueStreak {
  Cause cause = Cause::unknown;
  Interval drum_mm;
};
std::vector<TrueStreak> true_streaks(const Case& drawn);

// Fills what the record says of streaks: detected, causes, false_streaks, position, jet.
void judge_streaks(const Case& drawn, const Findings& findings, CaseRecord& record);

}  // namespace scrapetrace::score
