#pragma once
// The matched filter for boxes of any width, against noise measured by the same filter on the same signal.

#include <vector>

namespace scrapetrace::streak {

// A signal across the page, one value per grid sample; samples outside [from, to) are not valid.
struct Signal {
  std::vector<double> value;
  int from = 0;
  int to = 0;
};

struct Detection {
  double centre = 0;     // samples
  double width = 0;      // samples
  double z = 0;          // filter output over its robust standard deviation
  double threshold = 0;  // that z had to pass
  double mean = 0;       // mean of the signal in the box, over the median of the filter's output
};

struct BoxSearchOptions {
  double narrowest = 1;  // samples
  double widest = 100;
  double probability = 1e-7;  // chance that one independent cell passes by noise alone
  double ease = 1;  // factor on the threshold: above 1 where noise has heavier tails than its spread tells
};

// Widths on a grid of factor sqrt 2 (a mismatched width keeps at least 0.91 of the signal-to-noise ratio).
// The noise of each width is 1.4826 MAD of the filter's own output, so coloured noise is taken as it is; the
// threshold is Student's t for the number of independent cells that the MAD rests on (36 % efficiency).
// Returns the detections of positive boxes that no stronger one overlaps, strongest first.
std::vector<Detection> search_boxes(const Signal& signal, const BoxSearchOptions& options);

// Independent cells that a search looks at: sum over widths of length / width.
double independent_cells(const Signal& signal, const BoxSearchOptions& options);

}  // namespace scrapetrace::streak
