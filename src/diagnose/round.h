#pragma once
// One round of searches: every cause tried on a region, on top of the causes accepted so far.

#include <array>

#include "diagnose/diagnose_region.h"

namespace scrapetrace::diagnose {

// The scene under all strips that show the streak; when those are of one ink only, the same over all strips
// as well, because the other inks' silence is evidence too.
struct Scenes {
  Scene main;
  Scene one_ink;  // without traces unless the streak shows in one ink only
};

// The scenes with their matrices.
struct Judges {
  explicit Judges(const Scenes& scenes, int threads = 1)
      : main(scenes.main, threads), one_ink(scenes.one_ink, threads) {}
  Evaluator main;
  Evaluator one_ink;
};

// What all searches of one round found.
struct Round {
  FoundCauses found;
  double misfit = 1;
  double freedom = 0;  // degrees, that the misfit is over
  double null_chi_square = 0;
  double discrepancy = 0;  // whether the best cause leaves more than noise, from 0 to 1: discrepancy.h
  double log_unknown = -1e300;
};

// How many times the misfit that another page's causes have is to be expected of a page whose scanning
// program rounded or sharpened it: what tells the noise is lost, and halos grow with what they stand beside.
double enhanced_misfit(const PageContext& page);

Round search_all(const PageContext& page, Judges& judges, const InkState& state, const streak::Region& region,
                 const DiagnoseOptions& options);

// Log odds of a cause against "nothing more is wrong here".
double log_evidence(const Round& round, Cause cause);
double best_evidence(const Round& round);

// Probabilities of the causes, given that something is wrong.
std::array<double, kCauseCount> probabilities(const Round& round);

// The same when nothing may be wrong: that counts as one more thing that nobody knows.
std::array<double, kCauseCount> probabilities_or_nothing(const Round& round);

Cause likeliest(const std::array<double, kCauseCount>& p);
// The likeliest cause that has a model: any but "unknown" and damage of the sheet.
Cause likeliest_named(std::array<double, kCauseCount> p);

// Puts the likeliest hypothesis of a cause into the state of a scene; a cause that was not found leaves it
// alone.
void apply(const PageContext& page, const Scene& scene, const FoundCauses& found, Cause cause,
           InkState& state);

}  // namespace scrapetrace::diagnose
