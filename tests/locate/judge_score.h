#pragma once
// How often, and how surely, the right side of the right head was named over many pages.

#include <array>
#include <string>
#include <vector>

#include "scrapetrace/causes.h"
#include "scrapetrace/findings.h"

namespace scrapetrace::testing {

struct Place {
  std::string head;
  Side side = Side::left;
  double probability = 0;  // over all surfaces of that side
};

// Sides of heads in the order in which the targets name them first.
std::vector<Place> places_of(const Findings& findings);

struct Verdict {
  bool first = false;        // the best target is on the right side of the right head
  bool among_two = false;    // it is one of the first two sides named
  bool false_place = false;  // a wrong side was given more than one half
  double probability = 0;    // of the right side
  double brier = 0;          // sum over named sides of (probability - truth)^2; a side not named counts as 0
};

// `truth` may be null: then every place is wrong, and saying nothing is right.
Verdict judge(const std::vector<Place>& places, const Residue* truth);

// What the probabilities between two bounds came to.
struct ReliabilityBin {
  int places = 0;
  int right = 0;
  double probability = 0;  // sum
};

struct Tally {
  int pages = 0;
  int first = 0;
  int among_two = 0;
  int false_places = 0;
  double log_loss = 0;
  double brier = 0;
  std::array<ReliabilityBin, 10> reliability{};

  void add(const Verdict& verdict, const std::vector<Place>& places, const Residue* truth);
  [[nodiscard]] double share(double count) const { return pages > 0 ? count / pages : 0; }
};

}  // namespace scrapetrace::testing
