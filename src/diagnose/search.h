#pragma once
// The hypotheses about one region, searched and summed: each cause with the log of its evidence, that is the
// likelihood integrated over the cause's parameters under their prior, relative to "nothing is wrong here".

#include <algorithm>
#include <cmath>
#include <vector>

#include "diagnose/likelihood.h"
#include "geometry/zones.h"

namespace scrapetrace::diagnose {

// Expected number of each cause on a page, and how their parameters are spread. Common practice, no source:
// after a rework with sealant residue is the first suspect, dead jets are common, the rest are rare.
struct CausePriors {
  double residues = 0.7;
  double weak_jets = 1.0;
  double scratches = 0.2;
  double hazes = 0.2;
  double seam_mismatch = 0.03;  // per seam
  double unknown = 0.02;
  double narrowest_mm = 0.06;  // widths are log-uniform between these
  double widest_mm = 15.0;
  double elsewhere = 0.02;  // part of the residue that sits in no zone, spread over the drum
};

// One residue hypothesis: a cell of the lattice of whole columns.
struct ResidueCell {
  std::size_t carriage = 0;
  bool downstream = false;
  double x_mm = 0;  // left end at home, drum
  double width_mm = 0;
  double loss = 0;
  double log_weight = 0;  // log evidence with prior
  std::size_t shift = 0;
  double chi_square = 0;
  double loss_sigma = 0;  // of the loss, the place given
};

struct ResidueSearch {
  std::vector<ResidueCell> cells;
  double log_evidence = -1e300;
};

struct JetCell {
  std::size_t head = 0;
  std::size_t ink = 0;
  int jet = 0;
  double loss = 1;
  double log_weight = 0;
  std::size_t shift = 0;
  double chi_square = 0;
};

struct JetSearch {
  std::vector<JetCell> cells;
  double log_evidence = -1e300;
};

struct BoxCell {  // scratch or haze: [from, to) or centre and FWHM as an interval
  Interval x_mm;
  double strength = 0;
  double log_weight = 0;
  std::size_t shift = 0;
  double chi_square = 0;
};

struct BoxSearchResult {
  std::vector<BoxCell> cells;
  double log_evidence = -1e300;
};

struct SeamCell {
  std::size_t left_head = 0;
  std::size_t right_head = 0;
  geometry::SeamEnds by_layout;
  Interval x_mm;      // drum: where ink is missing or lies twice
  double gap_mm = 0;  // negative: overlap
  double log_weight = 0;
  std::size_t shift = 0;
  double chi_square = 0;
};

struct SeamSearch {
  std::vector<SeamCell> cells;
  double log_evidence = -1e300;
};

template <class Search>
const auto& best_cell(const Search& search) {
  return *std::max_element(search.cells.begin(), search.cells.end(),
                           [](const auto& a, const auto& b) { return a.log_weight < b.log_weight; });
}

template <class Search>
double least_chi_square(const Search& search, double otherwise) {
  double least = otherwise;
  for (const auto& c : search.cells) least = std::min(least, c.chi_square);
  return least;
}

// What every search needs.
struct SearchContext {
  const Layout& layout;
  const geometry::ColumnMap& columns;
  const std::vector<geometry::TargetZone>& zones;
  Evaluator& evaluator;  // its state: the causes accepted so far
  Interval region_mm;
  CausePriors priors;
  int threads = 1;  // the answers do not depend on them
  [[nodiscard]] const Scene& scene() const { return evaluator.scene(); }
};

ResidueSearch search_residue(const SearchContext& context);
JetSearch search_jet(const SearchContext& context);
BoxSearchResult search_scratch(const SearchContext& context);
BoxSearchResult search_haze(const SearchContext& context);
// Nothing where no seam lies in the region. `scratch` is what search_scratch() found there.
SeamSearch search_seam(const SearchContext& context, const BoxSearchResult& scratch);

// chi square of a trial of given strength at any shift, without that shift's matrices.
double trial_chi_square(const SearchContext& context, const TrialCause& trial, double strength,
                        std::size_t shift);

// The trial shift of the registration under which a trial of given strength fits best, its prior counted.
std::size_t best_shift(const SearchContext& context, const TrialCause& trial, double strength);

// Prior density, per mm, that a residue on this carriage sits at [x, x + width), averaged over its width.
double residue_density(const Layout& layout, const std::vector<geometry::TargetZone>& zones,
                       std::size_t carriage, double x_mm, double width_mm, double elsewhere);

// Log prior that a jet of a machine is weak in one ink.
double log_prior_of_jet(const Layout& layout, const CausePriors& priors);

// log(sum(exp(log_weight))) over cells; -1e300 for none.
template <class Cells>
double log_sum(const Cells& cells) {
  double most = -1e300;
  for (const auto& c : cells) most = std::max(most, c.log_weight);
  double sum = 0;
  for (const auto& c : cells) sum += std::exp(c.log_weight - most);
  return sum > 0 ? most + std::log(sum) : -1e300;
}

}  // namespace scrapetrace::diagnose
