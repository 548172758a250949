#pragma once
// Sheets that may lie several ways, each read to its end: how much the streaks themselves have to say.
//
// A streak never puts a rarer way round before a common one: models miss real contacts by more than they
// differ. Yet where the common way explains a streak worse, by more than a rarer one is rare, nobody can
// tell: then both count alike.

#include <vector>

#include "locate/explain_regions.h"

namespace scrapetrace::locate_detail {

// How well the causes named explain the region that is explained worst, of those that show by themselves.
struct Misfit {
  double per_freedom = 1;  // chi square; 1: down to the noise, or nothing shows
  double freedom = 0;      // degrees
};

// Sheets lying one way.
Misfit worst_misfit(const Explained& explained);

// Whether a way round of a probability is worth an answer of its own beside the likeliest one: if it
// explained all, it might show.
bool worth_reading(double probability, double probability_of_likeliest, const Misfit& misfit_of_likeliest);

// What the answers' misfits make of the ways' probabilities, likeliest first, as described above; sums to 1.
// exp(-chi^2 / 2) counts to the power 1 / misfit, as within one way.
std::vector<double> weigh_readings(std::vector<double> probabilities, const std::vector<Misfit>& misfits);

}  // namespace scrapetrace::locate_detail
