#pragma once
// Identifies the inks of a printed area by its colour over paper.

#include <optional>
#include <string>
#include <vector>

#include "scrapetrace/layout.h"

namespace scrapetrace::page {

struct InkMatch {
  std::vector<std::string> inks;  // in the layout's order
  double coverage = 1;
  double strength = 1;    // measured over nominal density
  double cost = 0;        // squared standard deviations from a perfect match, plus a little per ink
  bool doubtful = false;  // another combination fits nearly as well
  std::vector<std::string> other_inks;  // that combination
};

// Candidates are solids of one to three inks (densities add, Beer-Lambert), compared by the direction of the
// density vector, since real solids vary in strength by a fifth; then tints of one ink (Murray-Davies) at the
// overall strength. On grey scans: the single ink of nearest density. Nothing when no candidate is near.
std::optional<InkMatch> match_ink(const Layout& layout, const Rgb& linear_over_paper, bool grey,
                                  double overall_strength);

// Median strength of areas that are clearly solids; 1 when there are none.
double overall_strength(const Layout& layout, const std::vector<Rgb>& areas, bool grey);

}  // namespace scrapetrace::page
