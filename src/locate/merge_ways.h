#pragma once
// Answers for each way round that the sheets may lie, as one.

#include <vector>

#include "page/placement.h"
#include "scrapetrace/locate.h"

namespace scrapetrace::locate_detail {

struct WeighedAnswer {
  LocateResult result;
  double probability = 1;
  std::vector<page::Placement> placements;  // per scan of the call
};

// The answer of the likeliest way (of equals the first), with the probability of every target, and of every
// streak's targets, summed over the ways it comes from. Targets of another way rest on the streaks that are
// the same marks in the image, and are rivals of those they share a streak with. What any way leaves
// unchecked is unchecked. What a streak is, is summed over the ways, too.
LocateResult merge_ways(std::vector<WeighedAnswer> answers);

}  // namespace scrapetrace::locate_detail
