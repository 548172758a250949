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
  std::vector<std::vector<WayUp>>
      ways_up;  // the same: its ways round that this answer stands for; they sum to 1
};

// The answer of the likeliest way (of equals the usual one), with the probability of every target, and of
// every streak's causes and targets, summed over the ways it comes from; a mark that a way does not tell is
// unknown to it. Targets of another way rest on the streaks that are the same marks in the image, and are
// rivals of those they share a streak with. What any way leaves unchecked is unchecked.
LocateResult merge_ways(std::vector<WeighedAnswer> answers);

}  // namespace scrapetrace::locate_detail
