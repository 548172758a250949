#pragma once
// How faint a streak is found, beside the matched filter.

#include <vector>

#include "score/summary.h"

namespace scrapetrace::score {

struct Trial {
  double d_prime = 0;
  bool found = false;
};

// d' at which 90 of 100 are found, by the likeliest P = Phi(a + b log d'); 0: too few were found or missed.
double d_prime_at_90(const std::vector<Trial>& trials);

// What the matched filter is given.
struct Bound {
  double threshold = 0;
  double width = 1;  // of the row's boxes, in steps of the raster
};

DetectionRow detection_row(const std::string& widths, std::vector<Trial> trials, const Bound& bound,
                           int bins);

}  // namespace scrapetrace::score
