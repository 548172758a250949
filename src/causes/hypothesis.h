#pragma once
// What a search for one cause brings back: the parameters it tried and what each is worth.

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

namespace scrapetrace::diagnose {

// Parameters of a cause (a Fault: ResidueFault, JetFault, ...) with the evidence for them.
template <class Fault>
struct Hypothesis : Fault {
  double log_weight = 0;  // log evidence with prior, against "nothing is wrong here"
  std::size_t shift = 0;  // trial shift of the registration
  double chi_square = 0;
};

// log(sum(exp(log_weight))); -1e300 for none.
template <class Items>
double log_sum(const Items& items) {
  double most = -1e300;
  for (const auto& item : items) most = std::max(most, item.log_weight);
  double sum = 0;
  for (const auto& item : items) sum += std::exp(item.log_weight - most);
  return sum > 0 ? most + std::log(sum) : -1e300;
}

// All hypotheses of one cause in one region, in no order that counts.
template <class Fault>
struct Hypotheses {
  std::vector<Hypothesis<Fault>> all;
  double log_evidence = -1e300;  // of the cause: their log_sum; nothing was found below kNothingFound

  [[nodiscard]] bool empty() const { return all.empty(); }

  // The likeliest one, of those that there are.
  [[nodiscard]] const Hypothesis<Fault>& best() const {
    return *std::max_element(all.begin(), all.end(),
                             [](const auto& a, const auto& b) { return a.log_weight < b.log_weight; });
  }

  [[nodiscard]] double least_chi_square(double otherwise) const {
    double least = otherwise;
    for (const auto& h : all) least = std::min(least, h.chi_square);
    return least;
  }

  // Likeliest first.
  void sort() {
    std::stable_sort(all.begin(), all.end(),
                     [](const auto& a, const auto& b) { return a.log_weight > b.log_weight; });
  }

  void add_up() { log_evidence = log_sum(all); }

  // From here on the weights' exponentials sum to 1.
  void normalise() {
    for (auto& h : all) h.log_weight -= log_evidence;
  }
};

inline constexpr double kNothingFound = -1e299;  // log evidence

}  // namespace scrapetrace::diagnose
