#include "diagnose/discrepancy.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace scrapetrace::diagnose {

namespace {

// Tuned on pages by another renderer whose contacts, sheets and scanners depart from the model
// (docs/method.md).
constexpr double kHalfMisfit = 5;     // chi square per degree of freedom: as likely discrepancy as not
constexpr double kSteep = 4;          // power of the misfit in those odds
constexpr double kUnknowns = 2;       // of a discrepancy, and one more
constexpr double kUnknowns_mm = 0.7;  // for each of these that the region is wide
constexpr double kMostUnknowns = 12;
constexpr double kLoosePlace_mm = 0.2;   // standard deviation of a poorly fitting contact's place
constexpr double kLogWidths = 0.5;       // of the log of its width
constexpr double kUnknownPrior = 0.003;  // that what no cause fits is none of them, on a page
constexpr double kLeastPart = 1e-12;     // of the mixture: logarithms stay finite
constexpr double kNever = -1e9;          // log weight
constexpr double kSeamGaps = 0.1;        // of the prior of a seam's gaps that fit about as well

// Log likelihoods of what cells leave, discrepancy allowed, over that of the least chi square.
struct Discrepancy {
  double unknowns = 2;
  double least = 0;  // chi square
  double freedom = 1;
  [[nodiscard]] double log_ratio(double chi_square) const {
    const double own = std::max(0.0, chi_square - freedom) + unknowns;
    const double best = std::max(0.0, least - freedom) + unknowns;
    return -0.5 * unknowns * std::log(own / best);
  }
};

// Of contacts that fit about as well, by the log of their width.
double prior_of_width(const CausePriors& priors) {
  return kLogWidths / std::log(priors.widest_mm / priors.narrowest_mm);
}

double log_add(double a, double b) {
  const double most = std::max(a, b);
  return most + std::log(std::exp(a - most) + std::exp(b - most));
}

struct Weights {
  double log_sharp = 0;  // of the mixture's parts
  double log_loose = 0;
  double offset = 0;  // log odds of a cell of the least chi square against nothing, its prior left out
};

template <class Fault>
void weigh(const Weights& w, const Discrepancy& d, double log_prior, Hypotheses<Fault>& found) {
  if (found.empty()) return;
  const double loose = w.log_loose + w.offset + log_prior + d.log_ratio(found.least_chi_square(1e300));
  const double all = log_sum(found.all);  // the loose weight is shared out like the sharp ones
  for (auto& h : found.all) h.log_weight = log_add(w.log_sharp + h.log_weight, loose + h.log_weight - all);
  found.add_up();
}

void weigh_residue(const PageContext& page, const CausePriors& priors, const Weights& w, const Discrepancy& d,
                   Hypotheses<ResidueFault>& found) {
  std::map<std::pair<std::size_t, bool>, const ResidueHypothesis*> best;  // by carriage and side of the jets
  for (const ResidueHypothesis& c : found.all) {
    const ResidueHypothesis*& held = best[{c.carriage, c.downstream}];
    if (held == nullptr || c.chi_square < held->chi_square) held = &c;
  }
  std::vector<ResidueHypothesis> loose;
  constexpr int kSteps = 4;  // to each side, half a standard deviation apart
  for (const auto& [side, cell] : best) {
    for (int k = -kSteps; k <= kSteps; ++k) {
      ResidueHypothesis c = *cell;
      c.x_mm += 0.5 * k * kLoosePlace_mm;
      const double density = residue_density(page.machine, c.carriage, c.x_mm, c.width_mm, priors.elsewhere);
      const double prior = priors.residues * 0.5 * density * 0.5 * kLoosePlace_mm * prior_of_width(priors);
      c.log_weight =
          w.log_loose + w.offset + std::log(prior) - 0.5 * std::pow(0.5 * k, 2) + d.log_ratio(c.chi_square);
      loose.push_back(c);
    }
  }
  for (ResidueHypothesis& c : found.all) c.log_weight += w.log_sharp;
  found.all.insert(found.all.end(), loose.begin(), loose.end());
  found.add_up();
}

Discrepancy discrepancy_of(Interval region_mm, const Round& round) {
  const double width_mm = region_mm.to_mm - region_mm.from_mm;
  return {std::min(kMostUnknowns, kUnknowns + width_mm / kUnknowns_mm), round.misfit * round.freedom,
          round.freedom};
}

void weigh_all(const PageContext& page, const CausePriors& priors, const Weights& w, const Discrepancy& d,
               Round& round) {
  const double place = 2.5 * kLoosePlace_mm / page.machine.layout.drum.width_mm;
  weigh_residue(page, priors, w, d, round.found.residue);
  weigh(w, d, std::log(priors.scratches * place * prior_of_width(priors)), round.found.scratch);
  weigh(w, d, log_prior_of_jet(page.machine.layout, priors), round.found.jet);
  weigh(w, d, std::log(priors.hazes * place * prior_of_width(priors)), round.found.haze);
  weigh(w, d, std::log(priors.seam_mismatch * kSeamGaps), round.found.seam);
  // Of an enhanced page it is known why nothing fits.
  round.log_unknown = w.log_loose + w.offset + std::log(kUnknownPrior / enhanced_misfit(page)) +
                      d.log_ratio(round.null_chi_square);
}

double part_of(const PageContext& page, const Round& round) {
  return 1 - 1 / (1 + std::pow(round.misfit / (kHalfMisfit * enhanced_misfit(page)), kSteep));
}

}  // namespace

void allow_discrepancy(const PageContext& page, const CausePriors& priors, Interval region_mm, Round& round) {
  const double part = part_of(page, round);
  round.discrepancy = part;
  const Weights w{std::log(std::max(1 - part, kLeastPart)), std::log(std::max(part, kLeastPart)),
                  0.5 * (round.null_chi_square - round.misfit * round.freedom) / round.misfit};
  weigh_all(page, priors, w, discrepancy_of(region_mm, round), round);
}

void allow_discrepancy_before(const PageContext& page, const CausePriors& priors, Interval region_mm,
                              Round& round) {
  round.discrepancy = part_of(page, round);
  const Discrepancy d = discrepancy_of(region_mm, round);
  weigh_all(page, priors, {kNever, 0, -d.log_ratio(round.null_chi_square)}, d, round);
}

}  // namespace scrapetrace::diagnose
