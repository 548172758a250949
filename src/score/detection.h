#pragma once
// How faint a streak is found, beside the matched filter.

#include <vector>

#include "scrapetrace/score_summary.h"

namespace scrapetrace::score {

// Threshold at which a page without streaks gives one false alarm in 1 / rate pages: one-sided, over
// independent cells, which are the page's width over each width searched, widths doubling from the narrowest.
double page_threshold(double page_mm, double narrowest_mm, double widest_mm, double rate);

struct Trial {
  double d_prime = 0;
  bool found = false;
};

// d' at which 90 of 100 are found, by the likeliest curve P = Phi(a + b log d'); 0 when the trials do not
// tell.
double d_prime_at_90(const std::vector<Trial>& trials);

DetectionRow detection_row(const std::string& widths, std::vector<Trial> trials, double threshold, int bins);

}  // namespace scrapetrace::score
