#pragma once
// In which order to clean, so that the work is done soonest on average.
//
// After each visit a test print shows whether every scrape is gone. The expected time is the sum over visits
// of their minutes times the probability that something is still left before them. For one fault and
// independent actions the best order is by probability over cost (Kalagnanam and Henrion, UAI 1988, arXiv
// 1304.2362; Heckerman, Breese and Rommelse, CACM 38(3) 1995). Several scrapes at once, or places reached
// together, break that rule; places are few, so the best order is found by dynamic programming over the sets
// of places already cleaned.

#include <cstddef>
#include <vector>

namespace scrapetrace::diagnose {

struct CleaningPlace {
  double minutes = 1;  // to reach and clean it
  double reach = 0;    // of these, spent on reaching: once per visit for places of one group
  int group = -1;      // places of one group may share a visit; -1: alone
};

// chance[k][p]: that scrape k comes from place p. What is left to 1 is no scrape, or comes from elsewhere:
// no cleaning here removes it, and no visit waits for it.
struct CleaningJob {
  std::vector<CleaningPlace> places;
  std::vector<std::vector<double>> chance;
};

struct CleaningVisit {
  std::vector<std::size_t> places;
  double minutes = 0;
  double done = 0;  // probability that nothing is left after it
};

struct CleaningPlan {
  std::vector<CleaningVisit> visits;  // all places, in order
  double expected_minutes = 0;
};

// Exact for up to `kExactPlaces` places; beyond, by the probability finished per minute, greedily.
inline constexpr std::size_t kExactPlaces = 12;
CleaningPlan plan_cleaning(const CleaningJob& job);

}  // namespace scrapetrace::diagnose
