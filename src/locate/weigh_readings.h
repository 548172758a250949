#pragma once
// Sheets that may lie several ways, each read to its end: how much the streaks themselves have to say.
//
// A streak is never heard for a rare way round against a common one: models miss real contacts by more than
// they differ. Yet where the common way misses a streak by far and a rarer one explains all there is down to
// the noise, nobody can tell: then both count alike.

#include <vector>

#include "locate/explain_regions.h"

namespace scrapetrace::locate_detail {

// How well the causes named explain what shows by itself, sheets lying one way: chi square per degree of
// freedom of the region that is explained worst, 1 where nothing shows.
double worst_misfit(const Explained& explained);

// Whether a way round of a probability is worth an answer of its own beside the likeliest one.
bool worth_reading(double probability, double misfit_of_likeliest);

// What the answers' misfits make of the ways' probabilities, likeliest first, as described above; sums to 1.
std::vector<double> weigh_readings(std::vector<double> probabilities, const std::vector<double>& misfits);

}  // namespace scrapetrace::locate_detail
