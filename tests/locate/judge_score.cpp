#include "locate/judge_score.h"

#include <algorithm>
#include <cmath>

namespace scrapetrace::testing {

namespace {

constexpr double kSure = 0.5;               // above it somebody opens the machine
constexpr double kLeastProbability = 1e-3;  // a side not named at all costs no more than this

bool is_right(const Place& place, const Residue* truth) {
  return truth != nullptr && place.head == truth->head && place.side == truth->side;
}

}  // namespace

std::vector<Place> places_of(const Findings& findings) {
  std::vector<Place> places;
  for (const Target& target : findings.targets) {
    auto same = std::find_if(places.begin(), places.end(),
                             [&](const Place& p) { return p.head == target.head && p.side == target.side; });
    if (same == places.end()) same = places.insert(places.end(), {target.head, target.side, 0});
    same->probability = std::min(1.0, same->probability + target.probability);
  }
  return places;
}

Verdict judge(const std::vector<Place>& places, const Residue* truth) {
  Verdict verdict;
  if (truth != nullptr) verdict.brier = 1;
  for (std::size_t k = 0; k < places.size(); ++k) {
    const Place& place = places[k];
    if (is_right(place, truth)) {
      verdict.first = k == 0;
      verdict.among_two = k < 2;
      verdict.probability = place.probability;
      verdict.brier += std::pow(place.probability - 1, 2) - 1;
    } else {
      verdict.false_place = verdict.false_place || place.probability > kSure;
      verdict.brier += place.probability * place.probability;
    }
  }
  if (truth == nullptr) verdict.first = verdict.among_two = !verdict.false_place;
  return verdict;
}

void Tally::add(const Verdict& verdict, const std::vector<Place>& places, const Residue* truth) {
  ++pages;
  first += verdict.first ? 1 : 0;
  among_two += verdict.among_two ? 1 : 0;
  false_places += verdict.false_place ? 1 : 0;
  if (truth != nullptr) log_loss -= std::log(std::max(kLeastProbability, verdict.probability));
  brier += verdict.brier;
  for (const Place& place : places) {
    const auto last = reliability.size() - 1;
    const auto bin = static_cast<std::size_t>(place.probability * static_cast<double>(reliability.size()));
    ReliabilityBin& r = reliability[std::min(bin, last)];
    ++r.places;
    r.right += is_right(place, truth) ? 1 : 0;
    r.probability += place.probability;
  }
}

}  // namespace scrapetrace::testing
