#pragma once
// Which inks of a layout a printed area was made with, from its colour over paper.

#include <optional>
#include <string>
#include <vector>

#include "scrapetrace/layout.h"

namespace scrapetrace::page {

struct InkMatch {
  std::vector<std::string> inks;  // in the layout's order
  double coverage = 1;
  double strength = 1;    // measured density over the layout's
  double cost = 0;        // squared standard deviations from a perfect match, and a little per ink
  bool doubtful = false;  // another combination fits nearly as well:
  std::vector<std::string> other_inks;  // this one
};

// Solids of one to three inks (densities add, Beer-Lambert), told apart by the direction of the density
// vector, since real solids are stronger or weaker than the layout's by a fifth; else a tint of one ink (by
// area, Murray-Davies) at the overall strength. A grey scan has no direction: the single ink whose depth is
// nearest. Nothing when no combination comes near.
std::optional<InkMatch> match_ink(const Layout& layout, const Rgb& linear_over_paper, bool grey,
                                  double overall_strength);

// Median strength of the areas that are plainly solids; 1 when there are none.
double overall_strength(const Layout& layout, const std::vector<Rgb>& areas, bool grey);

}  // namespace scrapetrace::page
