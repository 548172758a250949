#pragma once
// Bayes' rule over the targets, given what was cleaned and what became of the streaks
// (include/scrapetrace/recheck.h states the model).

#include <vector>

#include "scrapetrace/recheck.h"

namespace scrapetrace::recheck_detail {

bool is_cleaned(const StreakTarget& target, const std::vector<Cleaned>& cleaned);

// Likelihood of an outcome, place cleaned or not; 1 for outcomes that say nothing.
double likelihood(Change change, bool cleaned, const RecheckOptions& options);

// A target's part in a streak.
struct Part {
  StreakTarget target;
  bool cleaned = false;
  double was = 0;  // P(the streak is, or was, its residue)
  double now = 0;  // P(that residue is still there)
};

// `targets`: the streak's, likeliest first; the rest up to 1 is "anything else".
std::vector<Part> update_streak(const std::vector<StreakTarget>& targets, Change change,
                                const std::vector<Cleaned>& cleaned, const RecheckOptions& options);

}  // namespace scrapetrace::recheck_detail
